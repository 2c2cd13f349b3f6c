"""What is asked before a session is set under way: a slip of the finger starts the wrong one."""

from datetime import datetime, timedelta

from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.periods import duration_in_words, moment_in_words

#: So much sooner than the first load-in nobody begins. Common practice, no source.
EARLY = timedelta(hours=1)


def doubts_about_starting(session: RecordingSession, now: datetime) -> list[str]:
    """A sentence each; none where its time has come and its rooms are its own. Two queries."""
    reserved = list(session.reservations.all())
    begins = min([session.starts_at, *(each.starts_at for each in reserved)])
    doubts = []
    if begins - now > EARLY:
        doubts += [
            f"It begins {moment_in_words(session.starts_at)}, "
            f"in {duration_in_words(session.starts_at - now)}."
        ]
    rooms = [each.room_id for each in reserved if each.room_id]
    others = Reservation.objects.filter(room__in=rooms, session__status=Status.UNDER_WAY)
    others = others.exclude(session=session).select_related("room", "session")
    return doubts + [
        f"“{each.session}” is under way in {each.room} since "
        f"{moment_in_words(each.session.status_since)}: wrap that first, if it is over."
        for each in others.order_by("room__name", "session")
    ]
