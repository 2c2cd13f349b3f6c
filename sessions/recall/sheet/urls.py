from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.recall.sheet import views
from sessions.recall.sheet.stored import RECALL_SHEET, RECALL_SHEET_OF_PART

app_name = "recall"
urlpatterns = [
    path("songs/<int:pk>/recall-sheet/", views.page, {"kind": RECALL_SHEET}, name="song"),
    path("songs/<int:pk>/recall-sheet.pdf", paper_page, {"kind": RECALL_SHEET}, name="song_pdf"),
    path("songs/<int:pk>/recall-sheet.json", views.data, {"kind": RECALL_SHEET}, name="song_json"),
    path("parts/<int:pk>/recall-sheet/", views.page, {"kind": RECALL_SHEET_OF_PART}, name="part"),
    path(
        "parts/<int:pk>/recall-sheet.pdf",
        paper_page,
        {"kind": RECALL_SHEET_OF_PART},
        name="part_pdf",
    ),
    path(
        "parts/<int:pk>/recall-sheet.json",
        views.data,
        {"kind": RECALL_SHEET_OF_PART},
        name="part_json",
    ),
]
