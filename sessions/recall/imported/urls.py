from django.urls import path

from sessions.recall.imported import new_views, views
from sessions.recall.sheet.schema import EXAMPLE_FILE, SCHEMA_FILE

app_name = "imported"
urlpatterns = [
    path("imported-sheets/", views.sheet_list, name="list"),
    path("imported-sheets/format/", views.format_page, name="format"),
    path(
        "imported-sheets/format/schema.json",
        views.format_file,
        {"file": SCHEMA_FILE},
        name="schema",
    ),
    path(
        "imported-sheets/format/example.json",
        views.format_file,
        {"file": EXAMPLE_FILE},
        name="example",
    ),
    path("imported-sheets/<int:pk>/", views.detail, name="detail"),
    path(
        "imported-sheets/<int:pk>/new-project/",
        new_views.new_song,
        {"may_be_new": True},
        name="new_project",
    ),
    path(
        "imported-sheets/<int:pk>/new-song/",
        new_views.new_song,
        {"may_be_new": False},
        name="new_song",
    ),
    path("imported-sheets/<int:pk>/discard/", views.discard, name="discard"),
]
