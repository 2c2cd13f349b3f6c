"""When single musicians are called to a session, where that is planned."""

from collections.abc import Iterable
from datetime import datetime

from gear.editing.versions import claim_version
from sessions.bookings.models import Attendance, RecordingSession
from sessions.periods import Period, moved_as_a_whole


def first_call(attendances: Iterable[Attendance]) -> datetime | None:
    """The first that was planned among those of one person."""
    return min((each.called_at for each in attendances if each.called_at), default=None)


def first_calls(session: RecordingSession) -> dict[int, datetime]:
    """The first call of each person who has one, by their key. A query."""
    calls: dict[int, datetime] = {}
    called = Attendance.objects.filter(session=session, called_at__isnull=False)
    for person, at in called.values_list("person", "called_at"):
        calls[person] = min(at, calls.get(person, at))
    return calls


def move_calls(session: RecordingSession, old_period: Period) -> None:
    """Calls of those who did not come yet follow a session that was moved as a whole, over a clock
    change to the same time of day. Call it inside the change's transaction."""
    new_period = session.starts_at, session.ends_at
    moved = moved_as_a_whole(old_period, new_period) if new_period != old_period else None
    if not moved:
        return
    for attendance in session.attendances.filter(came_at=None):
        claim_version(attendance, attendance.version)  # whoever edits it is told
        attendance.called_at, _ = moved((attendance.called_at, attendance.called_at))
        attendance.save()
