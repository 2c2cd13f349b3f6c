from django.urls import path

from sessions.takes.files import views

app_name = "take_files"
urlpatterns = [
    path("sessions/<int:pk>/files/", views.session, name="session"),
    path("sessions/<int:pk>/files/add/", views.add, name="add"),
    path("sessions/<int:pk>/files/folder/", views.folder, name="folder"),
    path("sessions/<int:pk>/files/link/", views.link, name="link"),
    path("take-files/<int:pk>/unlink/", views.unlink, name="unlink"),
    path("take-files/<int:pk>/discard/", views.discard, name="discard"),
]
