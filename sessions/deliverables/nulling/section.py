"""The null test on the page of stems."""

from dataclasses import dataclass

from sessions.clients.orders import DeliverableKind
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliverables.nulling.models import NullTest
from sessions.deliverables.nulling.running import mixes_for


@dataclass(frozen=True)
class Section:
    tests: list[NullTest]
    mixes: list[DeliverableFile]


def section_of(deliverable: Deliverable) -> Section | None:
    """Of stems only; two queries."""
    if deliverable.kind != DeliverableKind.STEMS:
        return None
    tests = deliverable.null_tests.select_related("mix__deliverable", "started_by")
    return Section(list(tests), mixes_for(deliverable))
