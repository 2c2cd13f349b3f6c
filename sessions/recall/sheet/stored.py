"""The recall sheet as a stored paper."""

from django.conf import settings

from gear.equipment.models import GearModel, Unit
from gear.patchbay.models import Bay, PatchPoint
from sessions.clients.models import Project
from sessions.papers.pdf import Enclosure
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_json
from sessions.recall.sheet.schema import ENCLOSED_AS
from sessions.setups.models import Chain
from sessions.songs.models import Part, Song
from sessions.takes.models import CompChoice, Take

TEMPLATE = "sessions/recall/sheet/sheet.html"


def contents(song: Song, address: str) -> Contents:
    sheet = recall_sheet(song)
    data = recall_json(sheet, studio=settings.STUDIO_NAME, address=address)
    enclosure = Enclosure(ENCLOSED_AS, data, "What this sheet prints, as data")
    return Contents({"sheet": sheet}, enclosure)


STAGES = "takes__revisions__stages"

RECALL_SHEET = PaperKind(
    path=f"{__name__}.RECALL_SHEET",
    called="Recall sheet",
    page="recall:song",
    template=TEMPLATE,
    subjects=Song.objects.select_related("project__client"),
    contents=contents,
    follows={
        **{"pk": Song, "project": Project, "parts": Part, "takes": Take},
        **{"parts__comp_choices": CompChoice, "takes__revisions__chain": Chain},
        **{f"{STAGES}__unit": Unit, f"{STAGES}__unit__model": GearModel},
        **{f"{STAGES}__patch_in": PatchPoint, f"{STAGES}__patch_out": PatchPoint},
        **{f"{STAGES}__patch_in__bay": Bay, f"{STAGES}__patch_out__bay": Bay},
    },
    ahead=Song.objects.filter(takes__in=Take.objects.chosen()).distinct(),
)
