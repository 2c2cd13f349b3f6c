"""Move a session on the schedule, and undo that within a minute, also for those who moved up."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Model, Q
from django.utils import timezone

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.bookings.actions import change_session, reservation_of, reserve
from sessions.bookings.calls import move_calls
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Challenge, ChallengeOutcome, RecordingSession, Reservation
from sessions.bookings.padding import Padding
from sessions.bookings.races import locked
from sessions.bookings.telling import tell
from sessions.bookings.worked_hours import move_planned_hours
from sessions.periods import Period
from sessions.rooms.resources import KINDS, by_kind

UNDO_WITHIN = timedelta(minutes=1)  # and the letters wait as long
TOO_LATE = "A move can be undone for a minute, which is over. Move the session back instead."
CHANGED_SINCE = (
    "Something changed since the session was moved, so this cannot be undone any more. Move the "
    "session back instead."
)


@dataclass(frozen=True)
class Swap:
    """One room, person or unit in the place of another of its kind."""

    old: Model
    new: Model


@dataclass(frozen=True)
class Moved:
    """All that undoing needs: how everything in the lines stood before and after.

    `before` and `after` hold, by the key of a reservation, what `_standing` says of it. Moments are
    text (ISO 8601), so that `asdict` gives JSON.
    """

    session: int
    version: int  # after the move
    at: str
    period: list[str]  # before the move
    window: list[str]
    before: dict[str, list]
    after: dict[str, list]
    challenges: list[int]  # those that the move closed

    @property
    def undo_until(self) -> datetime:
        return datetime.fromisoformat(self.at) + UNDO_WITHIN


@action
def move_on_schedule(
    session: RecordingSession,
    *,
    version: int,
    starts_at: datetime,
    ends_at: datetime,
    swap: Swap | None = None,
    queue_behind: bool = False,
    all_the_same: bool = False,
    by,
) -> Moved:
    """Give it another time and perhaps another room, person or unit. Refuses as `change_session`."""
    RecordingSession.objects.select_for_update(no_key=True).get(pk=session.pk)
    resources = locked(each.resource for each in session.reservations.for_list())
    old_period = session.starts_at, session.ends_at
    window, before = _lines(session, resources)
    open_before = list(Challenge.objects.open().about(session).values_list("pk", flat=True))
    taken = by_kind(_with_swap(resources, swap))
    session = change_session(
        session,
        version=version,
        starts_at=starts_at,
        ends_at=ends_at,
        rooms=taken["room"],
        people=taken["person"],
        units=taken["unit"],
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    closed = Challenge.objects.filter(pk__in=open_before).exclude(outcome=ChallengeOutcome.OPEN)
    return Moved(
        session=session.pk,
        version=session.version,
        at=timezone.now().isoformat(),
        period=_as_text(old_period),
        window=_as_text(window),
        before=before,
        after=_rows(session, resources, window),
        challenges=list(closed.values_list("pk", flat=True)),
    )


@action
def undo_move(moved: Moved, *, by) -> RecordingSession:
    """Put the session back, and all who moved up behind it. What is told of it is told anew, so that
    letters which still wait vanish.

    Raises BookingRefused after `undo_until`, and where anything in those lines is other than the
    move left it.
    """
    if timezone.now() > moved.undo_until:
        raise BookingRefused(TOO_LATE)
    session = RecordingSession.objects.select_for_update(no_key=True).get(pk=moved.session)
    own = list(session.reservations.for_list())
    before = _resources_of(moved)
    resources = locked({*before, *(each.resource for each in own)})
    now = _rows(session, before, _as_moments(moved.window))
    if session.version != moved.version or now != moved.after:
        raise BookingRefused(CHANGED_SINCE)
    claim_version(session, moved.version)
    old_period = session.starts_at, session.ends_at
    starts_at, ends_at = _as_moments(moved.period)
    set_facts(session, starts_at=starts_at, ends_at=ends_at)
    move_planned_hours(session, old_period)
    move_calls(session, old_period)
    session.save()
    others = _put_back(session, own, moved, resources)
    sides = _reopen_challenges(moved)
    tell(session, *others, *sides, by=by)
    return session


def _with_swap(resources: list[Model], swap: Swap | None) -> list[Model]:
    if swap is None:
        return resources
    if swap.old not in resources:
        raise BookingRefused(f"{swap.old} is not reserved any more. Look at the session again.")
    if swap.new in resources:
        raise BookingRefused(f"{swap.new} is reserved for this session already.")
    return [swap.new if each == swap.old else each for each in resources]


def _lines(session: RecordingSession, resources: list[Model]) -> tuple[Period, dict[str, list]]:
    """All that stands in the lines for these where the session is, those who overlap with them, and
    so on: whoever may move up. With the stretch of time that they fill."""
    window, rows = (session.starts_at, session.ends_at), None
    while True:
        found = _rows(session, resources, window)
        if found == rows:
            return window, rows
        rows = found
        ends = [_as_moments(row[3:5]) for row in rows.values()]
        window = (
            min([window[0], *(start for start, _ in ends)]),
            max([window[1], *(end for _, end in ends)]),
        )


def _rows(session: RecordingSession, resources: list[Model], window: Period) -> dict[str, list]:
    """The session's own reservations, and those that stand in the lines for these. A query."""
    in_line = Reservation.objects.of(resources).standing().overlapping(*window).values("pk")
    found = Reservation.objects.filter(Q(session=session) | Q(pk__in=in_line))
    return {str(each.pk): _standing(each) for each in found}


def _standing(each: Reservation) -> list:
    kind = next(kind for kind in KINDS.values() if getattr(each, f"{kind}_id"))
    return [
        each.session_id,
        kind,
        getattr(each, f"{kind}_id"),
        *_as_text((each.starts_at, each.ends_at)),
        each.before_minutes,
        each.after_minutes,
        each.rank,
        each.missing,
    ]


def _as_text(period: Period) -> list[str]:
    return [at.astimezone(UTC).isoformat() for at in period]


def _as_moments(period: list[str]) -> Period:
    return datetime.fromisoformat(period[0]), datetime.fromisoformat(period[1])


def _resources_of(moved: Moved) -> list[Model]:
    keys = [row[1:3] for row in moved.before.values() if row[0] == moved.session]
    return [
        resource
        for model, kind in KINDS.items()
        for resource in model.objects.filter(pk__in=[key for of, key in keys if of == kind])
    ]


def _put_back(
    session: RecordingSession, own: list[Reservation], moved: Moved, resources: list[Model]
) -> list[RecordingSession]:
    """Everything as it stood. All ranks that change are given up first, since no two may have one at
    once. Returns the other sessions that moved up, and are back."""
    changed = [pk for pk, row in moved.before.items() if moved.after.get(pk) != row]
    others = Reservation.objects.filter(pk__in=changed).exclude(session=session)
    others = list(others.select_related("session"))
    Reservation.objects.filter(pk__in=[each.pk for each in [*others, *own]]).update(
        rank=None, missing=False
    )
    for other in others:
        other.rank = moved.before[str(other.pk)][7]
        other._change_reason = "back, since a move was undone"
        other.save(update_fields=["rank"])
    wanted = {tuple(row[1:3]): row for row in moved.before.values() if row[0] == session.pk}
    by_key = {(KINDS[type(each)], each.pk): each for each in resources}
    mine = {(KINDS[type(each.resource)], each.resource.pk): each for each in own}
    for key in mine.keys() - wanted.keys():
        mine[key].delete()
    for key, row in wanted.items():
        reservation = mine.get(key) or reservation_of(by_key[key], session=session)
        before, after, rank, missing = row[5:]
        reservation.rank, reservation.missing = None, False  # as it stands by now
        reserve(reservation, Padding(before, after), _as_moments(row[3:5]), rank, missing=missing)
    return [each.session for each in others if each.session]


def _reopen_challenges(moved: Moved) -> list[RecordingSession]:
    """Those that the move had answered; both sides of each."""
    closed = Challenge.objects.filter(pk__in=moved.challenges).for_list()
    sides = []
    for challenge in closed:
        challenge.outcome, challenge.closed_at = ChallengeOutcome.OPEN, None
        challenge.save(update_fields=["outcome", "closed_at"])
        sides += [challenge.hold, challenge.challenger]
    return sides
