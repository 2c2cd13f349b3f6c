"""Hours worked inside a session: planned ones within a lockout, and what was worked in any."""

from datetime import datetime

from gear.acting import action
from gear.editing.versions import claim_version
from sessions.bookings.clashes import BookingRefused, check_order
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.outside_hours import OutsideHours, outside_hours, refuse_outside_hours
from sessions.bookings.telling import tell
from sessions.periods import Period, moved_as_a_whole

Kind = WorkedHours.Kind


@action
def write_hours(
    session: RecordingSession,
    *,
    kind: str,
    starts_at: datetime,
    ends_at: datetime,
    note: str = "",
    all_the_same: bool = False,
    by,
) -> WorkedHours:
    """Put hours on record; planned ones must be those of a lockout and lie inside it.

    Raises BookingRefused for hours that cannot be or share time with others of their kind,
    OutsideHoursError where a person of the session is off work in planned hours, unless they are
    meant `all_the_same`.
    """
    session = RecordingSession.objects.select_for_update(no_key=True).get(pk=session.pk)
    hours = WorkedHours(session=session, kind=kind, starts_at=starts_at, ends_at=ends_at, note=note)
    return _put_on_record(hours, all_the_same=all_the_same, by=by)


@action
def change_hours(
    hours: WorkedHours,
    *,
    version: int,
    starts_at: datetime,
    ends_at: datetime,
    note: str = "",
    all_the_same: bool = False,
    by,
) -> WorkedHours:
    """Put right what is on record, under the rules of `write_hours`.

    Raises EditedMeanwhile when somebody saved them after `version`.
    """
    session = RecordingSession.objects.select_for_update(no_key=True).get(pk=hours.session_id)
    claim_version(hours, version)
    hours.refresh_from_db()
    hours.session, hours.note = session, note
    hours.starts_at, hours.ends_at = starts_at, ends_at
    return _put_on_record(hours, all_the_same=all_the_same, by=by)


def _put_on_record(hours: WorkedHours, *, all_the_same: bool, by) -> WorkedHours:
    _check(hours, all_the_same=all_the_same)
    hours.save()
    _tell_of_planned(hours, by=by)
    return hours


def _check(hours: WorkedHours, *, all_the_same: bool) -> None:
    session, planned = hours.session, hours.kind == Kind.PLANNED
    check_order(hours.starts_at, hours.ends_at)
    if planned:
        _check_inside(session, [hours])
    others = session.worked_hours.filter(
        kind=hours.kind, starts_at__lt=hours.ends_at, ends_at__gt=hours.starts_at
    )
    if other := others.exclude(pk=hours.pk).first():
        raise BookingRefused(
            {"starts_at": f"This overlaps with {other}. Edit or remove that first."}
        )
    if planned and not all_the_same:
        people = [each.person for each in session.reservations.for_list() if each.person]
        refuse_outside_hours({person: [(hours.starts_at, hours.ends_at)] for person in people})


@action
def take_out_hours(hours: WorkedHours, *, by) -> None:
    RecordingSession.objects.select_for_update(no_key=True).get(pk=hours.session_id)
    hours.delete()
    _tell_of_planned(hours, by=by)


def _tell_of_planned(hours: WorkedHours, *, by) -> None:
    if hours.kind == Kind.PLANNED:
        tell(hours.session, by=by)


def move_planned_hours(session: RecordingSession, old_period: Period) -> None:
    """Follow a change of the session, inside its transaction: where it was moved as a whole, its
    planned hours move with it, over a clock change to the same times of day. Raises BookingRefused
    where they would lie outside, or in no lockout.
    """
    planned = list(session.worked_hours.filter(kind=Kind.PLANNED))
    if not planned:
        return
    new_period = session.starts_at, session.ends_at
    if new_period != old_period and (moved := moved_as_a_whole(old_period, new_period)):
        for hours in planned:
            claim_version(hours, hours.version)  # whoever edits them is told
            hours.starts_at, hours.ends_at = moved((hours.starts_at, hours.ends_at))
            hours.save()
    _check_inside(session, planned)


def outside_hours_of(session: RecordingSession) -> list[OutsideHours]:
    """Where a session that is still to be wants a room that is closed, or a person off work.

    A lockout keeps its rooms overnight; its people are wanted in its planned hours.
    """
    if session.status not in (Status.ENQUIRY, Status.HELD, Status.CONFIRMED):
        return []
    reservations = session.reservations.all()
    if not session.lockout:
        return outside_hours(
            {each.resource: [(each.starts_at, each.ends_at)] for each in reservations}
        )
    planned = [
        (each.starts_at, each.ends_at) for each in session.worked_hours.filter(kind=Kind.PLANNED)
    ]
    return outside_hours({each.person: planned for each in reservations if each.person})


def _check_inside(session: RecordingSession, planned: list[WorkedHours]) -> None:
    if not session.lockout:
        raise BookingRefused(
            {
                "lockout": "Planned hours need a lockout: keep it a lockout, or remove its planned "
                "hours first."
            }
        )
    for hours in planned:
        if hours.starts_at < session.starts_at:
            raise BookingRefused(
                {"starts_at": f"Hours of {hours} begin before the session does, {_of(session)}."}
            )
        if session.ends_at < hours.ends_at:
            raise BookingRefused(
                {"ends_at": f"Hours of {hours} go on after the session ends, {_of(session)}."}
            )


def _of(session: RecordingSession) -> str:
    return f"which is {session.period_in_words}"
