"""Reminders that the house’s rules ask for: of sessions to come, and of challenges not yet answered.

Whoever heard of the session since the reminder fell due, by whatever letter, needs no other. That
also makes each reminder be written once, and again for a session that is moved.
"""

from collections.abc import Collection
from datetime import datetime, timedelta

from gear.acting import action
from sessions.bookings.models import Challenge, RecordingSession, Status
from sessions.bookings.telling.choices import NONE
from sessions.bookings.telling.facts import DECIDES, ReadsAs, with_all_that_is_told
from sessions.bookings.telling.planning import Known, Notice, Own, Plan, by_reader
from sessions.bookings.telling.readers import Reader
from sessions.bookings.telling.tidings import FOLLOW_UP, REMINDER, Tidings
from sessions.bookings.telling.writing import write
from sessions.letters.models import Letter
from sessions.rooms.models import HouseRules

WHO_COME = (ReadsAs.CLIENT, ReadsAs.PERSON, ReadsAs.PLAYER)
WHO_DECIDE = (ReadsAs.CLIENT, ReadsAs.MANAGER)


def remind_due(now: datetime) -> list[Letter]:
    """Remind all who come to confirmed sessions, and those who decide about challenged holds. Costs a
    query or two where nothing is near."""
    rules = HouseRules.current()
    return [*_remind_of_sessions(now, rules), *_follow_up_challenges(now, rules)]


def _remind_of_sessions(now: datetime, rules: HouseRules) -> list[Letter]:
    before = timedelta(hours=rules.reminder_hours)
    near = RecordingSession.objects.filter(
        status=Status.CONFIRMED, starts_at__gt=now, starts_at__lte=now + before
    )
    return [
        letter
        for key, starts_at in near.values_list("pk", "starts_at")
        for letter in _remind(key, reminds=REMINDER, whom=WHO_COME, due=starts_at - before, by=None)
    ]


def _follow_up_challenges(now: datetime, rules: HouseRules) -> list[Letter]:
    before = timedelta(hours=rules.follow_up_hours)
    near = Challenge.objects.open().filter(deadline__gt=now, deadline__lte=now + before)
    return [
        letter
        for key, deadline in near.values_list("hold", "deadline")
        for letter in _remind(
            key, reminds=FOLLOW_UP, whom=WHO_DECIDE, due=deadline - before, by=None
        )
    ]


@action
def _remind(
    key: int, *, reminds: str, whom: Collection[ReadsAs], due: datetime, by: None
) -> list[Letter]:
    """With the session’s row locked, so that two workers write one letter."""
    RecordingSession.objects.select_for_update(no_key=True).get(pk=key)
    [session] = with_all_that_is_told([key])
    notices = [
        _reminder(reader, own, session, reminds)
        for reader, own in by_reader([session])
        if reader.address and _is_due(own, session, whom, due)
    ]
    return write(Plan(notices=notices), NONE, by=by)


def _is_due(own: Own, session: RecordingSession, whom: Collection[ReadsAs], due: datetime) -> bool:
    """Only for those who know of it and whom it still concerns."""
    now, rows = own.now[session], own.rows[session]
    if now is None or own.knows(session) is None:
        return False
    if not {now["reads_as"], now.get(DECIDES)} & set(whom):
        return False
    return rows[-1].at <= due


def _reminder(reader: Reader, own: Own, session: RecordingSession, reminds: str) -> Notice:
    now = own.now[session]
    tidings = Tidings(session, own.knows(session), now, reminds)
    return Notice(reader, (tidings,), (Known(session, now),))
