from django.urls import path

from sessions.deliverables.mixes import views
from sessions.deliverables.mixes.stored import MIX_SHEET
from sessions.papers.stored.serving import paper_page

app_name = "mixes"
urlpatterns = [
    path("songs/<int:pk>/mixes/", views.mix_list, name="list"),
    path("songs/<int:pk>/mixes/new/", views.create, name="create"),
    path("mixes/<int:pk>/", views.setup, name="setup"),
    path("mixes/<int:pk>/name/", views.rename, name="rename"),
    path("mixes/<int:pk>/edit/", views.edit, name="edit"),
    path("mixes/<int:pk>/confirm/", views.confirm, name="confirm"),
    path("mix-units/<int:pk>/", views.insert, name="insert"),
    path("mix-revisions/<int:pk>/", views.revision, name="revision"),
    path("mix-revisions/<int:pk>.pdf", paper_page, {"kind": MIX_SHEET}, name="revision_pdf"),
    path("mix-revisions/<int:pk>.json", views.revision_json, name="revision_json"),
    path("mix-revisions/<int:pk>.csv", views.revision_csv, name="revision_csv"),
    path("deliverables/<int:pk>/made-through/", views.made_through, name="made_through"),
]
