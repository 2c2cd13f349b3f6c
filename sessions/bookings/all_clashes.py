"""Who has any of very many rooms, people and units at one time: as `find_clashes`, for a whole house."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import timedelta

from django.db.models import Model, QuerySet

from sessions.bookings.actions.checks import LONGEST
from sessions.bookings.clashes import BlockInTheWay, Clash, SessionInTheWay
from sessions.bookings.models import Block, RecordingSession, Reservation
from sessions.bookings.padding import LONGEST_MINUTES
from sessions.periods import Period
from sessions.rooms.resources import KINDS

# A session and what is around it are no longer, which keeps the search on a short stretch of the index.
LONGEST_AROUND = LONGEST + 2 * timedelta(minutes=LONGEST_MINUTES)
KEYS = ("room", "person", "unit")
OF_SESSION = ("title", "status", "project__name", "project__client__name")
OF_BLOCK = ("title", "kind")


def all_clashes(
    wanted: Mapping[Model, Period], *, ignoring: RecordingSession | None = None
) -> dict[Model, list[Clash]]:
    """What stands at rank 1 for each resource within its half-open period, earliest first; nothing
    of those that are free. Two queries, whatever is asked for and found."""
    if not wanted:
        return {}
    resources = {(KINDS[type(each)], each.pk): each for each in wanted}
    since, until = (
        min(each[0] for each in wanted.values()),
        max(each[1] for each in wanted.values()),
    )
    standing = Reservation.objects.filter(rank=1).overlapping(since, until)
    sessions = standing.filter(starts_at__gt=since - LONGEST_AROUND, session__isnull=False)
    if ignoring is not None:
        sessions = sessions.exclude(session=ignoring)
    found = defaultdict(list)
    for *row, key, title, status, project, client in _rows(
        sessions.of(wanted), "session", OF_SESSION
    ):
        found_of = SessionInTheWay(key, title, status, project, client)
        _note(found, resources, wanted, row, found_of)
    # Blocks are few, and may be a year long: they are found by themselves, not by what they take.
    of_time = Block.objects.filter(starts_at__lt=until, ends_at__gt=since)
    blocks = standing.filter(block__in=of_time.values("pk"))
    for *row, key, title, kind in _rows(blocks, "block", OF_BLOCK):
        _note(found, resources, wanted, row, BlockInTheWay(key, title, kind))
    return {
        each: sorted(clashes, key=lambda clash: clash.starts_at) for each, clashes in found.items()
    }


def _rows(standing: QuerySet, holder: str, words: tuple[str, ...]) -> QuerySet:
    named = [f"{holder}__{word}" for word in words]
    return standing.filter(**{f"{holder}__isnull": False}).values_list(
        *(f"{key}_id" for key in KEYS), "starts_at", "ends_at", f"{holder}_id", *named
    )


def _note(found, resources, wanted, row, by) -> None:
    """A row of what somebody has, if it lies within what is wanted of that resource."""
    *keys, starts_at, ends_at = row
    [named] = [(kind, key) for kind, key in zip(KEYS, keys, strict=True) if key]
    resource = resources.get(named)
    if resource is None:
        return
    start, end = max(starts_at, wanted[resource][0]), min(ends_at, wanted[resource][1])
    if start < end:
        found[resource].append(Clash(resource, by, start, end, 1))
