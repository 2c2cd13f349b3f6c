from django.urls import path

from sessions.songs import views

app_name = "songs"
urlpatterns = [
    path("songs/", views.song_list, name="list"),
    path("projects/<int:pk>/songs/new/", views.song_create, name="create"),
    path("songs/<int:pk>/", views.song_detail, name="detail"),
    path("songs/<int:pk>/edit/", views.song_edit, name="edit"),
    path("songs/<int:pk>/lyrics/", views.lyrics, name="lyrics"),
    path("songs/<int:pk>/parts/new/", views.part_create, name="part_create"),
    path("parts/<int:pk>/edit/", views.part_edit, name="part_edit"),
]
