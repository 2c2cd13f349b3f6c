"""The recall sheet as a stored paper."""

from collections.abc import Iterator

from gear.equipment.models import GearModel, Unit
from gear.patchbay.models import Bay, PatchPoint
from sessions.clients.models import Project
from sessions.papers.pdf import Enclosure
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.recall.proving.models import Measurement
from sessions.recall.sheet.contents import ChainSheet, RecallSheet, recall_sheet
from sessions.recall.sheet.data import recall_json
from sessions.recall.sheet.schema import ENCLOSED_AS
from sessions.setups.models import Chain, Photo
from sessions.songs.models import Part, Song
from sessions.takes.models import CompChoice, Take, TakePart

TEMPLATE = "sessions/recall/sheet/sheet.html"


CHAINS_AT_ONCE = 4  # more are made by the worker only


def contents(subject: Song | Part, address: str) -> Contents:
    sheet = recall_sheet(subject)
    data = recall_json(sheet, studio=sheet.contact.studio, address=address)
    enclosure = Enclosure(ENCLOSED_AS, data, "What this sheet prints, as data")
    is_long = len(sheet.chains) > CHAINS_AT_ONCE
    return Contents({"sheet": sheet}, enclosure, _besides_data(sheet), is_long)


def _besides_data(sheet: RecallSheet) -> str:
    """What is printed and does not follow from the data; `test_noticed.py` finds what is forgotten."""
    phantom = [track.phantom for track in sheet.tracks]
    of_chains = [list(_of_chain(chain)) for chain in sheet.chains]
    cautions = [(each.caution, each.tags) for each in sheet.cautions]
    cautions += [(each.reason, each.advice) for each in sheet.no_signal]
    return repr((sheet.facts, phantom, sheet.units, cautions, sheet.groups, of_chains))


def _of_chain(chain: ChainSheet) -> Iterator[object]:
    yield from (chain.changed_format, chain.source_text, chain.converter_text, chain.tone_text)


STAGES = "takes__revisions__stages"
# What stands behind takes, of a song as of a part.
BEHIND_TAKES = {
    **{"takes": Take, "takes__take_parts": TakePart, "takes__revisions__chain": Chain},
    **{f"{STAGES}__unit": Unit, f"{STAGES}__unit__model": GearModel},
    **{f"{STAGES}__patch_in": PatchPoint, f"{STAGES}__patch_out": PatchPoint},
    **{
        "takes__revisions__chain__setup__photos": Photo,
        "takes__revisions__measurements": Measurement,
    },
    **{f"{STAGES}__patch_in__bay": Bay, f"{STAGES}__patch_out__bay": Bay},
}
RECALL_SHEET = PaperKind(
    path=f"{__name__}.RECALL_SHEET",
    title="Recall sheet: {}".format,
    page="recall:song",
    template=TEMPLATE,
    subjects=Song.objects.select_related("project__client"),
    contents=contents,
    follows={
        **BEHIND_TAKES,
        **{"pk": Song, "project": Project, "parts": Part, "parts__comp_choices": CompChoice},
    },
    ahead=Song.objects.filter(takes__in=Take.objects.chosen()).distinct(),
)
RECALL_SHEET_OF_PART = PaperKind(
    path=f"{__name__}.RECALL_SHEET_OF_PART",
    title=lambda part: f"Recall sheet: {part.song}, {part}",
    page="recall:part",
    template=TEMPLATE,
    subjects=Part.objects.select_related("song__project__client"),
    contents=contents,
    follows={
        **BEHIND_TAKES,
        **{"pk": Part, "song": Song, "song__project": Project, "comp_choices": CompChoice},
    },
)
