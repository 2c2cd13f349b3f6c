from django.urls import path

from sessions.recall.sheet import views

app_name = "recall"
urlpatterns = [
    path("songs/<int:pk>/", views.song, name="song"),
    path("songs/<int:pk>/sheet.pdf", views.song_pdf, name="song_pdf"),
    path("songs/<int:pk>/sheet.json", views.song_json, name="song_json"),
]
