from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.recall.rebuilds.stored import REBUILD_REPORT
from sessions.recall.rebuilds.views import checklist, finishing, starting, tone, units

app_name = "rebuild"
urlpatterns = [
    path("", starting.rebuild_list, name="list"),
    path("songs/<int:pk>/new/", starting.start, name="start"),
    path("imported/<int:pk>/new/", starting.start_imported, name="start_imported"),
    path("<int:pk>/", checklist.checklist, name="detail"),
    path("<int:pk>/units/", units.units, name="units"),
    path("steps/<int:pk>/tick/", checklist.tick, name="tick"),
    path("steps/<int:pk>/in-place/", checklist.in_place, name="in_place"),
    path("<int:pk>/tone/", tone.tone_check, name="tone"),
    path("steps/<int:pk>/tone/", tone.reading, name="tone_reading"),
    path("<int:pk>/finish/", finishing.finish, name="finish"),
    path("<int:pk>/report/", finishing.report, name="report"),
    path("<int:pk>/report.pdf", paper_page, {"kind": REBUILD_REPORT}, name="report_pdf"),
]
