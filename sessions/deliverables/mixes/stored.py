"""The recall sheet of a mix as a stored paper."""

from django.utils.text import slugify

from sessions.deliverables.mixes.data import mix_json
from sessions.deliverables.mixes.models import MixRevision
from sessions.deliverables.mixes.sheet import mix_sheet
from sessions.papers.pdf import Enclosure
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.rooms.models import Studio


def _contents(revision: MixRevision, address: str) -> Contents:
    sheet = mix_sheet(revision)
    return Contents(
        {"sheet": sheet},
        Enclosure(
            f"{slugify(str(revision)) or 'mix'}.json",
            mix_json(sheet, studio=Studio.current().name, address=address),
            "The mix as data",
        ),
    )


MIX_SHEET = PaperKind(
    path=f"{__name__}.MIX_SHEET",
    title="Mix recall sheet: {}".format,
    page="mixes:revision",
    template="sessions/deliverables/mixes/paper.html",
    subjects=MixRevision.objects.with_strips(),
    contents=_contents,
)
