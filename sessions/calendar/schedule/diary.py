"""What stands in the diary of rooms, people and equipment, as far as somebody may see it."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, Model, OuterRef, Prefetch, QuerySet
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.actions import LONGEST
from sessions.bookings.models import (
    Block,
    BlockKind,
    RecordingSession,
    Reservation,
    Status,
    WorkedHours,
)
from sessions.bookings.models.sessions import unanswered
from sessions.bookings.padding import LONGEST_MINUTES
from sessions.bookings.stand_ins.needs import needs_by_session, why
from sessions.calendar.schedule.days import Period
from sessions.periods import duration_in_words
from sessions.rooms.hours import hours_of, joined, left_over, open_periods
from sessions.rooms.models import WeeklyHours

PADDING = timedelta(minutes=LONGEST_MINUTES)
LAST = 99  # behind every rank: what reserves nothing
# What the time around a session is for, before it and after it.
AROUND = {
    "room": ("load-in", "teardown"),
    "person": ("before", "after"),
    "unit": ("warm-up", "teardown"),
}
BLOCK_SIGNS = {
    BlockKind.MAINTENANCE: "wrench",
    BlockKind.HOLIDAY: "calendar-off",
    BlockKind.LEAVE: "luggage",
    BlockKind.HOUSE: "house",
}
# Of a reservation and its session; a page has hundreds of them, each with a dozen columns more.
SHOWN = (
    *("starts_at", "ends_at", "before_minutes", "after_minutes", "rank", "missing", "block"),
    *("session", "session__title", "session__status", "session__lockout", "session__series"),
    "session__version",
    *("session__project", "session__project__name"),
    *("session__project__client", "session__project__client__name"),
)
HOLD_LOOKS = {1: "first-hold", 2: "second-hold"}


@dataclass(frozen=True)
class Part:
    """A stretch of an entry: the work itself ("work"), time around it, or a room that is kept."""

    look: str
    starts_at: datetime
    ends_at: datetime
    words: str = ""


@dataclass(frozen=True)
class Entry:
    """A session or a block in the diary of one room, person or unit.

    `parts` follow each other without a gap; `starts_at` and `ends_at` are the session's own, without
    the time around it. One that the user may not see has no address and no words but "Taken".
    """

    key: tuple[str, int]
    title: str
    starts_at: datetime
    ends_at: datetime
    parts: tuple[Part, ...]
    look: str
    order: int = 1
    address: str = ""
    about: str = ""
    standing: str = ""
    sign: str = ""
    tone: str = ""
    lockout: bool = False
    repeats: bool = False
    lacks: str = ""  # what it cannot have, and nothing stands in for yet
    version: int | None = None  # of a session that may still be moved

    @property
    def period(self) -> Period:
        return self.parts[0].starts_at, self.parts[-1].ends_at

    @property
    def takes_time(self) -> bool:
        return self.order != LAST

    @property
    def around(self) -> str:
        """ "load-in 30 min, teardown 1 h"."""
        return ", ".join(part.words for part in self.parts if part.look == "around")

    def within(self, starts_at: datetime, ends_at: datetime) -> list[Part]:
        """What of its parts lies within the period, cut to it."""
        return [
            Part(part.look, max(part.starts_at, starts_at), min(part.ends_at, ends_at), part.words)
            for part in self.parts
            if part.starts_at < ends_at and starts_at < part.ends_at
        ]


@dataclass(frozen=True)
class Line:
    """The diary of one room, person or unit: lowest rank first, then by time."""

    kind: str
    resource: Model
    entries: list[Entry]
    open: list[Period]

    @property
    def shut(self) -> str:
        """What it is where it is not open: "closed", "not working", "on the bench"."""
        if not isinstance(self.resource, Unit):
            return "not working" if self.kind == "person" else "closed"
        unit = self.resource
        return unit.get_state_display().lower() if not unit.is_in_service else "without its supply"

    def entries_within(self, starts_at: datetime, ends_at: datetime) -> list[Entry]:
        return [entry for entry in self.entries if entry.within(starts_at, ends_at)]

    def open_within(self, starts_at: datetime, ends_at: datetime) -> list[Period]:
        return _cut(self.open, starts_at, ends_at)

    def free_within(self, starts_at: datetime, ends_at: datetime) -> list[Period]:
        """Open time that nothing takes, cut to the period."""
        taken = joined(entry.period for entry in self.entries if entry.takes_time)
        return [
            free
            for opened in self.open_within(starts_at, ends_at)
            for free in left_over(opened, _cut(taken, *opened))
        ]


def _cut(periods: Iterable[Period], starts_at: datetime, ends_at: datetime) -> list[Period]:
    """What of the periods lies within another."""
    cut = ((max(start, starts_at), min(end, ends_at)) for start, end in periods)
    return [(start, end) for start, end in cut if start < end]


def lines_of(kind: str, resources: Iterable[Model], found: dict, period: Period) -> list[Line]:
    """A line for each resource, with what `entries_of` found. One query."""
    hours = hours_of(resources)
    return [
        Line(
            kind,
            resource,
            found.get(resource.pk, []),
            _open(resource, hours[resource], period),
        )
        for resource in resources
    ]


def _open(resource: Model, hours: list[WeeklyHours], period: Period) -> list[Period]:
    """A unit that cannot be used is not to be had from now on, until somebody returns it."""
    if isinstance(resource, Unit) and not resource.can_be_used:
        return _cut([period], period[0], timezone.now())
    return open_periods(hours, *period) if hours else [period]


def entries_of(kind: str, period: Period, user) -> dict[int, list[Entry]]:
    """By the key of each room, person or unit ("room", "person", "unit"): what it has on.

    Two queries, and two more where there are sessions. What a session misses is not in its diary.
    """
    found = defaultdict(list)
    of_sessions = list(_of_sessions(kind, period, user))
    needs = needs_by_session({each.session_id for each in of_sessions if each.seen})
    for reservation in of_sessions:
        if reservation.seen or reservation.rank:
            lacks = ", ".join(map(why, needs.get(reservation.session_id, ())))
            entry = (
                _of_session(kind, reservation, lacks) if reservation.seen else _taken(reservation)
            )
            found[getattr(reservation, f"{kind}_id")].append(entry)
    for reservation in _of_blocks(kind, period, user):
        entry = _of_block(reservation) if reservation.seen else _taken(reservation)
        found[getattr(reservation, f"{kind}_id")].append(entry)
    return {
        key: sorted(entries, key=lambda entry: (entry.order, entry.period))
        for key, entries in found.items()
    }


def _of_sessions(kind: str, period: Period, user) -> QuerySet:
    """Found through the sessions that begin near the period: none is longer than `LONGEST`, so the
    search stays on a short stretch of the index, however many years of sessions lie before."""
    starts_at, ends_at = period
    near = RecordingSession.objects.exclude(status=Status.CANCELLED).filter(
        starts_at__gt=starts_at - LONGEST - PADDING, starts_at__lt=ends_at + PADDING
    )
    visible = RecordingSession.objects.visible_to(user).filter(pk=OuterRef("session"))
    planned = WorkedHours.objects.filter(kind=WorkedHours.Kind.PLANNED)
    return (
        Reservation.objects.filter(session__in=near, missing=False, **{f"{kind}__isnull": False})
        .overlapping(*period)
        .annotate(seen=Exists(visible))
        .select_related("session__project__client")
        .annotate(overdue=unanswered(OuterRef("session")))
        .only(kind, *SHOWN)
        .prefetch_related(Prefetch("session__worked_hours", planned, to_attr="planned_hours"))
    )


def _of_blocks(kind: str, period: Period, user) -> QuerySet:
    """Found through the blocks, which may be of any length, but are few."""
    starts_at, ends_at = period
    standing = Block.objects.filter(removed=False, starts_at__lt=ends_at, ends_at__gt=starts_at)
    visible = Block.objects.visible_to(user).filter(pk=OuterRef("block"))
    return (
        Reservation.objects.filter(block__in=standing, **{f"{kind}__isnull": False})
        .overlapping(*period)
        .annotate(seen=Exists(visible))
        .select_related("block")
    )


def _of_session(kind: str, reservation: Reservation, lacks: str) -> Entry:
    session, held = reservation.session, reservation.session.status == Status.HELD
    starts_at, ends_at = reservation.ready_at, reservation.done_at
    return Entry(
        key=("session", session.pk),
        title=session.title,
        starts_at=starts_at,
        ends_at=ends_at,
        parts=(
            *_around(AROUND[kind][0], reservation.starts_at, starts_at),
            *_work(session, starts_at, ends_at),
            *_around(AROUND[kind][1], ends_at, reservation.ends_at),
        ),
        look=HOLD_LOOKS.get(reservation.rank, "later-hold") if held else session.status,
        order=reservation.rank or LAST,
        address=session.get_absolute_url(),
        about=f"{session.project}, {session.project.client}",
        standing=reservation.standing if reservation.rank else session.get_status_display().lower(),
        sign="clock" if held else "",
        tone="dashed warn" if held else "",
        lockout=session.lockout,
        repeats=session.series_id is not None,
        lacks=lacks,
        version=session.version if _may_move(session, ends_at) else None,
    )


def _may_move(session: RecordingSession, ends_at: datetime) -> bool:
    """What is wrapped or over stays where it was."""
    return session.status != Status.WRAPPED and ends_at > timezone.now()


def _around(words: str, starts_at: datetime, ends_at: datetime) -> list[Part]:
    if starts_at == ends_at:
        return []
    return [Part("around", starts_at, ends_at, f"{words} {duration_in_words(ends_at - starts_at)}")]


def _work(session: RecordingSession, starts_at: datetime, ends_at: datetime) -> list[Part]:
    """The session itself; of a lockout, the planned hours and the time the rooms are kept between."""
    planned = joined((hours.starts_at, hours.ends_at) for hours in session.planned_hours)
    planned = _cut(planned, starts_at, ends_at)
    if not session.lockout or not planned:
        return [Part("work", starts_at, ends_at)]
    kept = [
        Part("kept", *period, "kept overnight")
        for period in left_over((starts_at, ends_at), planned)
    ]
    worked = [Part("work", *period, "hours worked") for period in planned]
    return sorted([*kept, *worked], key=lambda part: part.starts_at)


def _of_block(reservation: Reservation) -> Entry:
    block = reservation.block
    return Entry(
        key=("block", block.pk),
        title=block.title,
        starts_at=reservation.starts_at,
        ends_at=reservation.ends_at,
        parts=(Part("work", reservation.starts_at, reservation.ends_at),),
        look="block",
        address=block.get_absolute_url(),
        standing=block.get_kind_display().lower(),
        sign=BLOCK_SIGNS[block.kind],
        tone="dotted",
    )


def _taken(reservation: Reservation) -> Entry:
    """What it is, for whom and in which place is not the user's business."""
    return Entry(
        key=("taken", reservation.pk),
        title="Taken",
        starts_at=reservation.starts_at,
        ends_at=reservation.ends_at,
        parts=(Part("work", reservation.starts_at, reservation.ends_at),),
        look="taken",
    )
