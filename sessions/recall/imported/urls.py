from django.urls import path

from sessions.recall.imported import views

app_name = "imported"
urlpatterns = [
    path("", views.sheet_list, name="list"),
    path("<int:pk>/", views.detail, name="detail"),
    path("<int:pk>/discard/", views.discard, name="discard"),
]
