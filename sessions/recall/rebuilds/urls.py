from django.urls import path

from sessions.bookings.models import Status
from sessions.papers.stored.serving import paper_page
from sessions.recall.rebuilds.stored import REBUILD_REPORT
from sessions.recall.rebuilds.views import (
    checklist,
    finishing,
    live,
    starting,
    taking_over,
    tone,
    units,
)

app_name = "rebuild"
urlpatterns = [
    path("rebuilds/", starting.rebuild_list, name="list"),
    path("songs/<int:pk>/rebuilds/new/", starting.start, name="start"),
    path("imported-sheets/<int:pk>/rebuilds/new/", starting.start_imported, name="start_imported"),
    path("rebuilds/<int:pk>/", checklist.checklist, name="detail"),
    path("rebuilds/<int:pk>/units/", units.units, name="units"),
    path("rebuild-steps/<int:pk>/tick/", checklist.tick, name="tick"),
    path("rebuild-steps/<int:pk>/in-place/", checklist.in_place, name="in_place"),
    path("rebuilds/<int:pk>/tone/", tone.tone_check, name="tone"),
    path("rebuild-steps/<int:pk>/tone/", tone.reading, name="tone_reading"),
    path("rebuilds/<int:pk>/finish/", finishing.finish, name="finish"),
    path(
        "rebuilds/<int:pk>/finish/booked/",
        finishing.finish,
        {"status": Status.CONFIRMED},
        name="finish_booked",
    ),
    path(
        "rebuilds/<int:pk>/finish/asked/",
        finishing.finish,
        {"status": Status.ENQUIRY},
        name="finish_asked",
    ),
    path("rebuild-steps/<int:pk>/take-over/", taking_over.take_model_over, name="take_over"),
    path("rebuilds/<int:pk>/live/", live.live, name="live"),
    path("rebuilds/<int:pk>/report/", finishing.report, name="report"),
    path("rebuilds/<int:pk>/report.csv", finishing.report_csv, name="report_csv"),
    path("rebuilds/<int:pk>/report.pdf", paper_page, {"kind": REBUILD_REPORT}, name="report_pdf"),
]
