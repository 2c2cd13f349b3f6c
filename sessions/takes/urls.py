from django.urls import path

from sessions.takes import views

app_name = "takes"
urlpatterns = [
    path("sessions/<int:pk>/takes/", views.session, name="session"),
    path("sessions/<int:pk>/takes.csv", views.session_csv, name="session_csv"),
    path("songs/<int:pk>/takes.csv", views.song_csv, name="song_csv"),
    path("sessions/<int:pk>/takes/new/", views.log, name="log"),
    path("takes/<int:pk>/mark/", views.mark, name="mark"),
    path("takes/<int:pk>/circle/", views.circle, name="circle"),
    path("takes/<int:pk>/edit/", views.edit, name="edit"),
    path("take-parts/<int:pk>/edit/", views.edit_part, name="edit_part"),
]
