from django.urls import path

from sessions.recall.carried import views

app_name = "carried"
urlpatterns = [
    path("", views.carried_list, name="list"),
    path("<int:pk>/", views.detail, name="detail"),
    path("<int:pk>/discard/", views.discard, name="discard"),
]
