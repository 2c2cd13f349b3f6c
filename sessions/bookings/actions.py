"""Book, change, move on: each in one transaction, each leaving every line in order."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db.models import Model

from gear.equipment.models import Unit, UnitState
from sessions.bookings.clashes import FIELDS, BookingRefused, ClashError, find_clashes
from sessions.bookings.holds import end_of_line, move_up
from sessions.bookings.models import (
    TAKES_NOTHING,
    Credit,
    RecordingSession,
    Reservation,
    Room,
    Status,
    by_kind,
)
from sessions.bookings.races import locked, looking_again
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
    queue_behind: bool = False,
    note: str = "",
    left_to_do: str = "",
    by,
) -> RecordingSession:
    """A new session with everything that it takes, or nothing at all.

    An inquiry takes no time. A hold that may queue gets a place behind whoever holds the time; any
    other hold, and a confirmed session, needs the time for itself. Raises ClashError where it is
    taken, BookingRefused for a period or a resource that cannot be booked.
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
        note=note,
        left_to_do=left_to_do,
    )
    ranks = _ranks(session, resources, queue_behind=queue_behind)
    _record(session, by)
    for resource in resources:
        _reserve(session, resource, ranks[resource], by)
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
    queue_behind: bool = False,
    note: str = "",
    left_to_do: str = "",
    by,
) -> RecordingSession:
    """Change what a session is and what it takes; its reservations follow, those behind move up.

    What stays within its old time keeps its place in line; what moves or grows asks anew. Raises
    EditedMeanwhile when somebody saved the session after `version`, and refuses as `book_session`.
    """
    check_period(starts_at, ends_at)
    claim_version(session, version)
    session.refresh_from_db()
    before = {reservation.resource: reservation for reservation in session.reservations.for_list()}
    wanted = {*rooms, *people, *units}
    resources = [resource for resource in locked(wanted | before.keys()) if resource in wanted]
    _check_rooms(resources)
    _check_bookable([resource for resource in resources if resource not in before])

    session.project, session.title = project, title
    session.starts_at, session.ends_at = starts_at, ends_at
    session.note, session.left_to_do = note, left_to_do
    ranks = _ranks(session, resources, before=before, queue_behind=queue_behind)
    given_up = [
        (each.resource, each.starts_at, each.ends_at) for each in before.values() if each.rank
    ]
    _record(session, by)
    for resource in before.keys() - wanted:
        _let_go(before[resource], by)
    for resource in resources:
        _reserve(session, resource, ranks[resource], by, before.get(resource))
    for resource, old_start, old_end in given_up:
        move_up(resource, old_start, old_end, by=by)
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
    took_time = session.takes_time
    session.status = to
    before = {reservation.resource: reservation for reservation in session.reservations.for_list()}
    resources = locked(before)
    if session.takes_time and not took_time:
        _check_rooms(resources)
        _check_bookable(resources)
    ranks = _ranks(session, resources, before=before, queue_behind=queue_behind)
    session.version += 1
    _record(session, by)
    for resource, reservation in before.items():
        _reserve(session, resource, ranks[resource], by, reservation)
    for reservation in before.values() if took_time else ():
        move_up(reservation.resource, reservation.starts_at, reservation.ends_at, by=by)
    return session


def give_credit(
    session: RecordingSession, *, person: Person, role: str, instrument: str = ""
) -> Credit:
    """Raises BookingRefused where the person has that very credit, so that a double press is told."""
    credit, is_new = session.credits.get_or_create(person=person, role=role, instrument=instrument)
    if not is_new:
        raise BookingRefused(f"{person} has that credit already.")
    return credit


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
        if resource.state == UnitState.IN_SERVICE:
            return ""
        return f"{resource} is {resource.get_state_display().lower()}: choose another unit."
    if resource.retired:
        return f"{resource} is retired and takes no new bookings."
    if isinstance(resource, Person) and not resource.bookable:
        return f"{resource} is not marked as bookable. Mark them so first, or choose somebody else."
    return ""


def _ranks(
    session: RecordingSession,
    resources: list[Model],
    *,
    before: dict[Model, Reservation] | None = None,
    queue_behind: bool,
) -> dict[Model, int | None]:
    """The place in line of each resource. Raises ClashError where there is none to be had."""
    if session.status in TAKES_NOTHING:
        return dict.fromkeys(resources)
    before = before or {}
    kept = {
        resource: before[resource].rank
        for resource in resources
        if resource in before and _keeps_place(session, before[resource])
    }
    asking = [resource for resource in resources if resource not in kept]
    period = session.starts_at, session.ends_at
    own = None if session._state.adding else session
    clashes = find_clashes(asking, *period, ignoring=own)
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
    queueing = [resource for resource in asking if resource not in stays_first]
    ends = end_of_line(queueing, *period, ignoring=own)
    return kept | dict.fromkeys(stays_first, 1) | ends


def _keeps_place(session: RecordingSession, before: Reservation) -> bool:
    """Within its old time a hold keeps its place; anything firmer keeps only the first."""
    return (
        before.rank is not None
        and (before.rank == 1 or session.status == Status.HELD)
        and before.starts_at <= session.starts_at
        and session.ends_at <= before.ends_at
    )


def _reserve(
    session: RecordingSession,
    resource: Model,
    rank: int | None,
    by,
    before: Reservation | None = None,
) -> None:
    """Write one reservation, if there is anything new to write."""
    [kind] = [kind for kind, of_kind in by_kind([resource]).items() if of_kind]
    reservation = before or Reservation(session=session, **{kind: resource})
    wanted = session.starts_at, session.ends_at, rank
    if before and (before.starts_at, before.ends_at, before.rank) == wanted:
        return
    reservation.starts_at, reservation.ends_at, reservation.rank = wanted
    _record(reservation, by)


def _let_go(reservation: Reservation, by) -> None:
    reservation._history_user = by
    reservation.delete()


def _record(thing: Model, by) -> None:
    """Save, and note in the history who did it: an action may run without a web request."""
    thing._history_user = by
    thing.save()
