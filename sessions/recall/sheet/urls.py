from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.recall.sheet import views
from sessions.recall.sheet.stored import RECALL_SHEET

app_name = "recall"
urlpatterns = [
    path("songs/<int:pk>/", views.song, name="song"),
    path("songs/<int:pk>/sheet.pdf", paper_page, {"kind": RECALL_SHEET}, name="song_pdf"),
    path("songs/<int:pk>/sheet.json", views.song_json, name="song_json"),
]
