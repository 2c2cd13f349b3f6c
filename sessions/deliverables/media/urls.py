from django.urls import path

from sessions.deliverables.media import views
from sessions.deliverables.media.forms import CopyForm, IncomingForm, WorkstationFileForm
from sessions.deliverables.media.stored import RECEIPT
from sessions.papers.stored.serving import paper_page

FILE = {"form_class": WorkstationFileForm, "word": "Workstation file"}
COPY = {"form_class": CopyForm, "word": "Copy"}
INCOMING = {"form_class": IncomingForm, "word": "Incoming material"}

app_name = "media"
urlpatterns = [
    path("media/", views.medium_list, name="list"),
    path("media/new/", views.medium_create, name="create"),
    path("media/<int:pk>/", views.medium, name="medium"),
    path("media/<int:pk>/edit/", views.medium_edit, name="edit"),
    path("projects/<int:pk>/media/", views.project_media, name="project"),
    path("projects/<int:pk>/media/files/new/", views.add, FILE, name="file_create"),
    path("workstation-files/<int:pk>/edit/", views.change, FILE, name="file_edit"),
    path("projects/<int:pk>/media/copies/new/", views.add, COPY, name="copy_create"),
    path("copies/<int:pk>/edit/", views.change, COPY, name="copy_edit"),
    path("copies/<int:pk>/verify/", views.verify, name="verify"),
    path("copies/<int:pk>/tell/", views.tell, name="tell"),
    path("copies/<int:pk>/remove/", views.remove, name="remove"),
    path("projects/<int:pk>/media/incoming/new/", views.add, INCOMING, name="incoming_create"),
    path("incoming-material/<int:pk>/edit/", views.change, INCOMING, name="incoming_edit"),
    path("projects/<int:pk>/media/handovers/new/", views.handover_create, name="handover_create"),
    path("handovers/<int:pk>.pdf", paper_page, {"kind": RECEIPT}, name="receipt"),
]
