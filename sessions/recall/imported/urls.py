from django.urls import path

from sessions.recall.imported import new_views, views

app_name = "imported"
urlpatterns = [
    path("imported-sheets/", views.sheet_list, name="list"),
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
