from django.urls import path

from sessions.songs import views

app_name = "songs"
urlpatterns = [
    path("", views.song_list, name="list"),
    path("project/<int:pk>/new/", views.song_create, name="create"),
    path("<int:pk>/", views.song_detail, name="detail"),
    path("<int:pk>/edit/", views.song_edit, name="edit"),
    path("<int:pk>/lyrics/", views.lyrics, name="lyrics"),
    path("<int:pk>/parts/new/", views.part_create, name="part_create"),
    path("parts/<int:pk>/edit/", views.part_edit, name="part_edit"),
]
