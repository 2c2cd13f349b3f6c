from django.urls import path

from sessions.takes import views
from sessions.takes.next_part import views as next_part
from sessions.takes.tracking import views as tracking

app_name = "takes"
urlpatterns = [
    path("sessions/<int:pk>/takes/", tracking.session, name="session"),
    path("sessions/<int:pk>/takes/live/", tracking.live, name="live"),
    path("sessions/<int:pk>/takes/presses/", tracking.press, name="press"),
    path("sessions/<int:pk>/next-part/", next_part.next_part, name="next_part"),
    path("sessions/<int:pk>/takes/all/", views.session_list, name="session_list"),
    path("sessions/<int:pk>/takes.csv", views.session_csv, name="session_csv"),
    path("songs/<int:pk>/takes/", views.song_list, name="song_list"),
    path("songs/<int:pk>/takes.csv", views.song_csv, name="song_csv"),
    path("revisions-in-doubt/<int:pk>/settle/", views.settle, name="settle"),
    path("takes/<int:pk>/edit/", views.edit, name="edit"),
    path("take-parts/<int:pk>/edit/", views.edit_part, name="edit_part"),
]
