from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.recall.rebuilds.stored import REBUILD_REPORT
from sessions.recall.rebuilds.views import checklist, finishing, starting, tone, units

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
    path("rebuilds/<int:pk>/report/", finishing.report, name="report"),
    path("rebuilds/<int:pk>/report.pdf", paper_page, {"kind": REBUILD_REPORT}, name="report_pdf"),
]
