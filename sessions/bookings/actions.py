"""Book, change, move on: each in one transaction, each leaving every line in order."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from django.db.models import Model
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.challenges.answers import close_challenges
from sessions.bookings.clashes import FIELDS, BookingRefused, ClashError, find_clashes_within
from sessions.bookings.holds import end_of_line, move_up
from sessions.bookings.house.hours import refuse_outside_hours
from sessions.bookings.models import (
    TAKES_NOTHING,
    Challenge,
    Credit,
    RecordingSession,
    Reservation,
    Room,
    Status,
    by_kind,
)
from sessions.bookings.notices import tell_of_moves, tell_of_step
from sessions.bookings.padding import Padding, Period, usual_padding
from sessions.bookings.periods import moment_in_words
from sessions.bookings.races import locked, looking_again
from sessions.bookings.worked_hours import move_planned_hours
from sessions.clients.models import Person, Project
from sessions.editing import claim_version

LONGEST = timedelta(days=31)

# From each status the steps that may follow, and what the person who takes one does. Each step on
# has a way back, so that a slip of the finger is not for ever.
STEPS = {
    Status.INQUIRY: {
        Status.HELD: "Hold the time",
        Status.CONFIRMED: "Confirm",
        Status.CANCELLED: "Cancel the inquiry",
    },
    Status.HELD: {
        Status.CONFIRMED: "Confirm",
        Status.INQUIRY: "Release the hold",
        Status.CANCELLED: "Cancel the session",
    },
    Status.CONFIRMED: {
        Status.UNDER_WAY: "Start",
        Status.HELD: "Back to a hold",
        Status.CANCELLED: "Cancel the session",
    },
    Status.UNDER_WAY: {Status.WRAPPED: "Wrap", Status.CONFIRMED: "Not started after all"},
    Status.WRAPPED: {Status.UNDER_WAY: "Go on recording"},
    Status.CANCELLED: {Status.INQUIRY: "Take up again as an inquiry"},
}


def may_step(user, session: RecordingSession, to: str) -> bool:
    """Whether the user may take a session to that status: starting and wrapping it (and back) is
    for whoever works at it, holding, confirming and cancelling for whoever settles bookings."""
    at_work = {Status.UNDER_WAY, Status.WRAPPED}
    settles = user.has_perm("studio_sessions.settle_bookings")
    return settles or bool(at_work & {session.status, to}) and to != Status.CANCELLED


@looking_again
def book_session(
    project: Project,
    *,
    title: str,
    starts_at: datetime,
    ends_at: datetime,
    status: str,
    rooms: Iterable[Room],
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    lockout: bool = False,
    padding: Mapping[Model, Padding] | None = None,
    queue_behind: bool = False,
    all_the_same: bool = False,
    note: str = "",
    left_to_do: str = "",
    by,
) -> RecordingSession:
    """A new session with everything that it takes, or nothing at all.

    What `padding` does not name has its usual one. An inquiry takes no time. A hold that may queue
    gets a place behind whoever holds the time; any other hold, and a confirmed session, needs the
    time for itself. Raises ClashError where it is taken, OutsideHoursError where a room is closed or
    a person off work (unless it is booked `all_the_same`), BookingRefused for a period or a resource
    that cannot be booked.
    """
    check_period(starts_at, ends_at)
    resources = locked([*rooms, *people, *units])
    _check_rooms(resources)
    _check_bookable(resources)
    session = RecordingSession(
        project=project,
        title=title,
        starts_at=starts_at,
        ends_at=ends_at,
        status=status,
        lockout=lockout,
        note=note,
        left_to_do=left_to_do,
    )
    _arrange(
        session,
        resources,
        padding=padding,
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    session.status_steps.create(status=status, at=session.status_since, by=by)
    return session


@looking_again
def change_session(
    session: RecordingSession,
    *,
    version: int,
    project: Project,
    title: str,
    starts_at: datetime,
    ends_at: datetime,
    rooms: Iterable[Room],
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    lockout: bool = False,
    queue_behind: bool = False,
    all_the_same: bool = False,
    note: str = "",
    left_to_do: str = "",
    by,
) -> RecordingSession:
    """Change what a session is and what it takes; its reservations follow, those behind move up.

    What stays within its old time keeps its place in line; what moves or grows asks anew. Everything
    keeps its padding; the planned hours of a session that is moved as a whole move with it. Raises
    EditedMeanwhile when somebody saved the session after `version`, and refuses as `book_session`,
    and where planned hours would lie outside.
    """
    check_period(starts_at, ends_at)
    claim_version(session, version)
    session.refresh_from_db()
    before = {reservation.resource: reservation for reservation in session.reservations.for_list()}
    wanted = {*rooms, *people, *units}
    resources = [resource for resource in locked(wanted | before.keys()) if resource in wanted]
    _check_rooms(resources)
    _check_bookable([resource for resource in resources if resource not in before])

    old_period = session.starts_at, session.ends_at
    session.project, session.title = project, title
    session.starts_at, session.ends_at, session.lockout = starts_at, ends_at, lockout
    session.note, session.left_to_do = note, left_to_do
    move_planned_hours(session, old_period, by=by)
    _arrange(
        session,
        resources,
        before=before,
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    return session


@looking_again
def set_padding(
    session: RecordingSession,
    *,
    version: int,
    padding: Mapping[Model, Padding],
    queue_behind: bool = False,
    all_the_same: bool = False,
    by,
) -> RecordingSession:
    """Change the minutes before and after for what a session takes. Raises as `change_session`."""
    claim_version(session, version)
    session.refresh_from_db()
    before = {reservation.resource: reservation for reservation in session.reservations.for_list()}
    _arrange(
        session,
        locked(before),
        before=before,
        padding=padding,
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    return session


@looking_again
def set_status(
    session: RecordingSession, *, to: str, by, queue_behind: bool = False
) -> RecordingSession:
    """Take a session one step on, or back.

    Cancelled, and back to an inquiry, gives up its time and those behind move up. Held and confirmed
    need the time, as in `book_session`. Raises BookingRefused for a step that is not in `STEPS`.
    """
    session.refresh_from_db(from_queryset=RecordingSession.objects.select_for_update())
    if to not in STEPS[session.status]:
        raise BookingRefused(
            f"This session is {session.get_status_display().lower()}, so it cannot become "
            f"{dict(Status.choices).get(to, to).lower()}. Somebody may have moved it on meanwhile."
        )
    now = timezone.now()
    if to == Status.CONFIRMED:
        _check_in_time(session, now)
    _step(session, to, at=now, queue_behind=queue_behind, by=by)
    return session


def give_up_unanswered(hold: RecordingSession, challenge: Challenge, *, at: datetime) -> None:
    """The deadline of a challenge has come: the hold lapses, the next in line moves up.

    Call inside the transaction that locked the hold and found the challenge still open.
    """
    hold.lapsed_at = at
    note = (
        f"Lapsed: not confirmed by {moment_in_words(challenge.deadline)}, "
        f"as “{challenge.challenger}” had asked"
    )
    _step(hold, Status.CANCELLED, at=at, note=note, by=None)


def _check_in_time(session: RecordingSession, now: datetime) -> None:
    late = Challenge.objects.due(now).filter(hold=session).first()
    if late:
        raise BookingRefused(
            "This hold was challenged and had to be confirmed by "
            f"{moment_in_words(late.deadline)}. It lapses now."
        )


def _step(
    session: RecordingSession,
    to: str,
    *,
    at: datetime,
    queue_behind: bool = False,
    note: str = "",
    by,
) -> None:
    """The step itself, and the record of it; call with the session's row locked."""
    came_from, took_time = session.status, session.takes_time
    session.status, session.status_since = to, at
    if came_from == Status.CANCELLED:
        session.lapsed_at = None
    before = {reservation.resource: reservation for reservation in session.reservations.for_list()}
    resources = locked(before)
    if session.takes_time and not took_time:
        _check_rooms(resources)
        _check_bookable(resources)
    session.version += 1
    session.status_steps.create(status=to, at=at, by=by, note=note)
    tell_of_step(session, came_from)
    _arrange(session, resources, before=before, queue_behind=queue_behind, all_the_same=True, by=by)


def give_credit(
    session: RecordingSession, *, person: Person, role: str, instrument: str = ""
) -> Credit:
    """Raises BookingRefused where the person has that very credit, so that a double press is told."""
    credit, is_new = session.credits.get_or_create(person=person, role=role, instrument=instrument)
    if not is_new:
        raise BookingRefused(f"{person} has that credit already.")
    return credit


def check_not_over(status: str, ends_at: datetime) -> None:
    """Raises BookingRefused for an inquiry or a hold on time that is over already.

    A confirmed session may be put on record afterwards.
    """
    if status in (Status.INQUIRY, Status.HELD) and ends_at <= timezone.now():
        raise BookingRefused(
            {
                "ends_at": "This is over already. Only a confirmed session may be put on record "
                "afterwards; for an inquiry or a hold, give a time to come."
            }
        )


def check_period(starts_at: datetime, ends_at: datetime) -> None:
    """Raises BookingRefused for a period that ends before it starts or that nobody books."""
    if ends_at <= starts_at:
        raise BookingRefused(
            {"ends_at": "This is not after the start. Over midnight, give the next day."}
        )
    if ends_at - starts_at > LONGEST:
        raise BookingRefused(
            {
                "ends_at": f"A session is at most {LONGEST.days} days long. Book a longer one in parts."
            }
        )


def _check_rooms(resources: list[Model]) -> None:
    if not by_kind(resources)["room"]:
        raise BookingRefused({"rooms": "Nothing is reserved yet: choose at least one room."})


def _check_bookable(resources: list[Model]) -> None:
    """Raises BookingRefused for what is out of service or out of the house."""
    sentences = {
        FIELDS[kind]: [_why_not(resource) for resource in of_kind if _why_not(resource)]
        for kind, of_kind in by_kind(resources).items()
    }
    sentences = {field: why for field, why in sentences.items() if why}
    if sentences:
        raise BookingRefused(sentences)


def _why_not(resource: Model) -> str:
    """Why a room, person or unit cannot be newly booked; empty where it can."""
    if isinstance(resource, Unit):
        return resource.why_not()
    if resource.retired:
        return f"{resource} is retired and takes no new bookings."
    if isinstance(resource, Person) and not resource.bookable:
        return f"{resource} is not marked as bookable. Mark them so first, or choose somebody else."
    return ""


def _arrange(
    session: RecordingSession,
    resources: list[Model],
    *,
    before: Mapping[Model, Reservation] | None = None,
    padding: Mapping[Model, Padding] | None = None,
    queue_behind: bool,
    all_the_same: bool,
    by,
) -> None:
    """Save the session, and give each resource its time and its place in line; what it had before
    and does not want any more is given up, and those behind move up."""
    before = before or {}
    kept = {resource: reservation.padding for resource, reservation in before.items()}
    given = kept | dict(padding or {})
    paddings = {each: given[each] if each in given else usual_padding(each) for each in resources}
    wanted = {
        resource: each.around(session.starts_at, session.ends_at)
        for resource, each in paddings.items()
    }
    ranks = _ranks(session, wanted, before=before, queue_behind=queue_behind)
    if not all_the_same and not session.lockout:
        refuse_outside_hours(
            {
                resource: [period]
                for resource, period in wanted.items()
                if resource not in before or not _within(period, before[resource])
            }
        )
    given_up = [
        (each.resource, each.starts_at, each.ends_at) for each in before.values() if each.rank
    ]
    _record(session, by)
    for resource in before.keys() - wanted.keys():
        _let_go(before[resource], by)
    for resource in resources:
        reservation = before.get(resource) or reservation_of(resource, session=session)
        _reserve(reservation, paddings[resource], wanted[resource], ranks[resource], by)
    moved = [
        each
        for resource, old_start, old_end in given_up
        for each in move_up(resource, old_start, old_end, by=by)
    ]
    if before:
        tell_of_moves(session, moved, close_challenges(session, by=by))


def _ranks(
    session: RecordingSession,
    wanted: Mapping[Model, Period],
    *,
    before: Mapping[Model, Reservation],
    queue_behind: bool,
) -> dict[Model, int | None]:
    """The place in line of each resource. Raises ClashError where there is none to be had."""
    if session.status in TAKES_NOTHING:
        return dict.fromkeys(wanted)
    kept = {
        resource: before[resource].rank
        for resource, period in wanted.items()
        if resource in before and _keeps_place(session, before[resource], period)
    }
    asking = {resource: period for resource, period in wanted.items() if resource not in kept}
    own = None if session._state.adding else session
    clashes = find_clashes_within(asking, ignoring=own)
    if session.status != Status.HELD or not queue_behind:
        if clashes:
            raise ClashError(clashes)
        return kept | dict.fromkeys(asking, 1)
    taken = {clash.resource for clash in clashes}
    stays_first = [
        resource
        for resource in asking
        if resource not in taken and resource in before and before[resource].rank == 1
    ]
    queueing = {each: period for each, period in asking.items() if each not in stays_first}
    return kept | dict.fromkeys(stays_first, 1) | end_of_line(queueing, ignoring=own)


def _keeps_place(session: RecordingSession, before: Reservation, period: Period) -> bool:
    """Within its old time a hold keeps its place; anything firmer keeps only the first."""
    return (
        before.rank is not None
        and (before.rank == 1 or session.status == Status.HELD)
        and _within(period, before)
    )


def _within(period: Period, before: Reservation) -> bool:
    return before.starts_at <= period[0] and period[1] <= before.ends_at


def reservation_of(resource: Model, **holder) -> Reservation:
    """A new one, not saved yet, for `session=…` or `block=…`."""
    [kind] = [kind for kind, of_kind in by_kind([resource]).items() if of_kind]
    return Reservation(**{kind: resource}, **holder)


def _reserve(
    reservation: Reservation, padding: Padding, period: Period, rank: int | None, by
) -> None:
    """Write one reservation, if there is anything new to write."""
    old = reservation.starts_at, reservation.ends_at, reservation.rank, reservation.padding
    if not reservation._state.adding and old == (*period, rank, padding):
        return
    reservation.starts_at, reservation.ends_at = period
    reservation.before_minutes, reservation.after_minutes = padding.before, padding.after
    reservation.rank = rank
    _record(reservation, by)


def _let_go(reservation: Reservation, by) -> None:
    reservation._history_user = by
    reservation.delete()


def _record(thing: Model, by) -> None:
    """Save, and note in the history who did it: an action may run without a web request."""
    thing._history_user = by
    thing.save()
