"""The recall sheet as a paper that is kept."""

from django.conf import settings

from gear.equipment.models import GearModel, Unit
from gear.patchbay.models import Bay, PatchPoint
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Person, Project
from sessions.papers.pdf import Enclosure
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_json
from sessions.recall.sheet.schema import ENCLOSED_AS
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.songs.models import Part, Song
from sessions.takes.models import CompChoice, Take

TEMPLATE = "sessions/recall/sheet/sheet.html"


def contents(song: Song, address: str) -> Contents:
    sheet = recall_sheet(song)
    data = recall_json(sheet, studio=settings.STUDIO_NAME, address=address)
    enclosure = Enclosure(ENCLOSED_AS, data, "What this sheet prints, as data")
    return Contents({"sheet": sheet}, enclosure)


RECALL_SHEET = PaperKind(
    name="recall sheet",
    called="Recall sheet",
    page="recall:song",
    template=TEMPLATE,
    subjects=Song.objects.select_related("project__client"),
    contents=contents,
    reads=(  # what is wired and heard, and panels, are fixed with the revision
        *(Client, Person, Project, Song, Part, Take, CompChoice, RecordingSession),
        *(Setup, Chain, Revision, Stage, Placement, Unit, GearModel, Bay, PatchPoint),
    ),
)
