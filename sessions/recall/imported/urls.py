from django.urls import path

from sessions.recall.imported import views

app_name = "imported"
urlpatterns = [
    path("imported-sheets/", views.sheet_list, name="list"),
    path("imported-sheets/<int:pk>/", views.detail, name="detail"),
    path("imported-sheets/<int:pk>/discard/", views.discard, name="discard"),
]
