"""Book and change: each in one transaction, each leaving every line in order."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.db.models import Model

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from gear.equipment.models import Unit
from sessions.bookings.actions.arranging import arrange
from sessions.bookings.actions.checks import check_bookable, check_period, check_rooms
from sessions.bookings.calls import move_calls
from sessions.bookings.models import RecordingSession
from sessions.bookings.padding import Padding
from sessions.bookings.races import locked
from sessions.bookings.worked_hours import move_planned_hours
from sessions.clients.models import Person, Project
from sessions.rooms.models import Room
from sessions.rooms.resources import by_kind
from sessions.terms.agreements.agreed import agreed_for


@action
def book_session(
    project: Project,
    *,
    starts_at: datetime,
    ends_at: datetime,
    status: str,
    rooms: Iterable[Room],
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    padding: Mapping[Model, Padding] | None = None,
    queue_behind: bool = False,
    all_the_same: bool = False,
    by,
    **facts,
) -> RecordingSession:
    """A new session with everything that it takes, or nothing at all.

    It starts with the rate card and the cancellation terms that were agreed for the project, unless
    the facts name others. What `padding` does not name has its usual one. An enquiry takes no time. A hold that may queue
    gets a place behind whoever holds the time; any other hold, and a confirmed session, needs the
    time for itself. Raises ClashError where it is taken, OutsideHoursError where a room is closed or
    a person off work (unless it is booked `all_the_same`), BookingRefused for a period or a resource
    that cannot be booked.
    """
    check_period(starts_at, ends_at)
    resources = locked([*rooms, *people, *units])
    check_rooms(resources)
    check_bookable(resources)
    session = RecordingSession(
        project=project,
        starts_at=starts_at,
        ends_at=ends_at,
        status=status,
        **_agreed(project) | facts,
    )
    arrange(
        session,
        resources,
        padding=padding,
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    session.status_steps.create(status=status, at=session.status_since, by=by)
    return session


def _agreed(project: Project) -> dict[str, Model | None]:
    agreed = agreed_for(project)
    return {"rate_card": agreed.rate_card, "cancellation_terms": agreed.cancellation_terms}


@action
def change_session(
    session: RecordingSession,
    *,
    version: int,
    starts_at: datetime,
    ends_at: datetime,
    rooms: Iterable[Room],
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    queue_behind: bool = False,
    all_the_same: bool = False,
    by,
    **facts,
) -> RecordingSession:
    """Change what a session is and what it takes; its reservations follow, those behind move up.

    What stays within its old time keeps its rank; what moves or grows asks anew. Everything
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
    check_rooms(resources)
    check_bookable([resource for resource in resources if resource not in before])

    old_period = session.starts_at, session.ends_at
    set_facts(session, starts_at=starts_at, ends_at=ends_at, **facts)
    move_planned_hours(session, old_period)
    move_calls(session, old_period)
    arrange(
        session,
        resources,
        before=before,
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    return session


@action
def reserve_units(session: RecordingSession, units: Iterable[Unit], *, by) -> RecordingSession:
    """Take units besides what the session takes. Refuses as `change_session`."""
    taken = by_kind(each.resource for each in session.reservations.for_list())
    return change_session(
        session,
        version=session.version,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        rooms=taken["room"],
        people=taken["person"],
        units=[*taken["unit"], *units],
        all_the_same=True,
        by=by,
    )


@action
def move_session(
    session: RecordingSession,
    *,
    starts_at: datetime,
    ends_at: datetime,
    queue_behind: bool = False,
    all_the_same: bool = False,
    by,
) -> RecordingSession:
    """Give it another time, with all that it takes. Refuses as `change_session`."""
    taken = by_kind(each.resource for each in session.reservations.for_list())
    return change_session(
        session,
        version=session.version,
        starts_at=starts_at,
        ends_at=ends_at,
        rooms=taken["room"],
        people=taken["person"],
        units=taken["unit"],
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )


@action
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
    arrange(
        session,
        locked(before),
        before=before,
        padding=padding,
        queue_behind=queue_behind,
        all_the_same=all_the_same,
        by=by,
    )
    return session
