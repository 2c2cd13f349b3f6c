"""The receipt for what was handed over, as a stored paper."""

from sessions.deliverables.media.models import Handover
from sessions.papers.stored.kinds import Contents, PaperKind


def _contents(handover: Handover, address: str) -> Contents:
    return Contents({"handover": handover})


RECEIPT = PaperKind(
    path=f"{__name__}.RECEIPT",
    title="Receipt: {}".format,
    page="media:project",
    page_key="project_id",
    template="sessions/deliverables/media/receipt.html",
    subjects=Handover.objects.select_related(
        "project__client", "medium__client", "medium__person", "handed_by"
    ),
    contents=_contents,
    for_client=True,
)
