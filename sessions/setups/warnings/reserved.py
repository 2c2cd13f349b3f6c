"""Units of the chains that the session has not reserved."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from django.utils import timezone

from sessions.bookings.models import TAKES_NOTHING, RecordingSession
from sessions.setups.chains.availability import NotReady, not_ready
from sessions.setups.models import Revision
from sessions.setups.warnings.warning import Warning


def units_not_ready(
    session: RecordingSession, revisions: Iterable[Revision], *, now: datetime | None = None
) -> list[NotReady]:
    """What the chains that are up can't count on, until their session is over; costs two queries."""
    if (now or timezone.now()) >= session.ends_at or session.status in TAKES_NOTHING:
        return []
    up = [revision for revision in revisions if revision.chain.is_up]
    units = [stage.unit for revision in up for stage in revision.stages.all()]
    return not_ready(session, units) if units else []


def not_reserved(unready: Iterable[NotReady], ours: Iterable[Revision]) -> Iterator[Warning]:
    """Of the units in our chains: what others have is named one by one; what is free in one line, to
    be reserved at once. What is out of service is a warning of its chain."""
    up = (revision for revision in ours if revision.chain.setup.is_up)
    standing = {stage.unit_id for revision in up for stage in revision.stages.all()}
    free = []
    for each in unready:
        if each.unit.pk not in standing or not each.unit.is_in_service:
            continue
        if each.is_free:
            free.append(each.unit)
        else:
            yield Warning("warning", each.reason, "Choose another unit, or agree with them.")
    if free:
        are = "is" if len(free) == 1 else "are"
        yield Warning(
            "caution",
            f"{', '.join(unit.asset_tag for unit in free)} {are} not reserved for this session.",
            "Until then anybody may book what stands in a chain here.",
            to_reserve=tuple(free),
        )
