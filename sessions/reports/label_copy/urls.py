from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.reports.label_copy import stored, views

app_name = "label_copy"
SONG, PROJECT = "songs/<int:pk>/label-copy", "projects/<int:pk>/label-copy"
urlpatterns = [
    path(f"{SONG}/", views.song, name="song"),
    path(f"{SONG}.csv", views.song_csv, name="song_csv"),
    path(f"{SONG}.pdf", paper_page, {"kind": stored.LABEL_COPY_OF_SONG}, name="song_pdf"),
    path(f"{PROJECT}/", views.project, name="project"),
    path(f"{PROJECT}.csv", views.project_csv, name="project_csv"),
    path(f"{PROJECT}.pdf", paper_page, {"kind": stored.LABEL_COPY_OF_PROJECT}, name="project_pdf"),
]
