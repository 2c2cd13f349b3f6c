"""The report of a rebuild as a stored paper."""

from gear.equipment.models import GearModel, Unit
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.report import rebuild_report
from sessions.songs.models import Song


def _contents(rebuild: Rebuild, address: str) -> Contents:
    return Contents({"rebuild": rebuild, "report": rebuild_report(checklist_of(rebuild))})


REBUILD_REPORT = PaperKind(
    path=f"{__name__}.REBUILD_REPORT",
    title=lambda rebuild: f"Rebuild report: {rebuild.song}",
    page="rebuild:report",
    template="sessions/recall/rebuilds/report_sheet.html",
    subjects=Rebuild.objects.with_names(),
    contents=_contents,
    follows={
        **{"pk": Rebuild, "song": Song, "steps": RebuildStep, "steps__ticks": Tick},
        **{"steps__unit": Unit, "steps__unit__model": GearModel, "measurements": Measurement},
    },
    ahead=Rebuild.objects.filter(finished_at__isnull=False),
)
