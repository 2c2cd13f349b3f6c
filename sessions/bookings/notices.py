"""Letters about what became of sessions: who is told, and what."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth import get_user_model
from django.template.loader import render_to_string

from sessions.bookings.event import session_ics
from sessions.bookings.models import (
    WON,
    Challenge,
    ChallengeOutcome,
    RecordingSession,
    Reservation,
    Status,
)
from sessions.letters.outbox import CalendarPart, Draft, post
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio

# From one status to the next -> the template of what is told; other steps are the house's own.
KINDS = {
    (Status.ENQUIRY, Status.CONFIRMED): "confirmed",
    (Status.HELD, Status.CONFIRMED): "confirmed",
    (Status.HELD, Status.ENQUIRY): "released",
    (Status.HELD, Status.CANCELLED): "released",
    (Status.CONFIRMED, Status.CANCELLED): "cancelled",
}
# With these comes the session for a calendar; its second file replaces its first.
FOR_A_CALENDAR = {"confirmed", "cancelled"}


@dataclass(frozen=True)
class Notice:
    """What became of a session; `kind` names the template in sessions/bookings/notices/.

    `other` is the session on the other side. Only the house is told its name: one client's plans
    are none of another's business.
    """

    kind: str
    session: RecordingSession
    other: RecordingSession | None = None
    deadline: datetime | None = None


def notify(*notices: Notice, by) -> None:
    """Write to everyone concerned. Call inside the transaction, once all else of it is done."""
    if not notices:
        return
    house, sender = managers(), Studio.current().sender
    for notice in notices:
        drafts = _drafts(notice, house)
        post(notice.session, kind=notice.kind, drafts=drafts, sender=sender, by=by)


def notify_of_step(session: RecordingSession, came_from: str, *, by) -> None:
    """Tell those of the session what it has become, where that is theirs to know."""
    kind = "lapsed" if session.lapsed_at else KINDS.get((came_from, session.status))
    if kind:
        notify(Notice(kind, session), by=by)


def notify_of_moves(
    session: RecordingSession, moved: list[Reservation], closed: list[Challenge], *, by
) -> None:
    """After the session has moved: tell those whose challenge is over, and who moved up by it."""
    notify(*(_answer(challenge) for challenge in closed), by=by)
    winners = {each.challenger for each in closed if each.outcome in WON}
    notify_moved_up(moved, except_for={session, *winners}, by=by)


def notify_moved_up(
    moved: list[Reservation], *, except_for: Iterable[RecordingSession] = (), by
) -> None:
    """Tell the sessions of the reservations that moved up, as `move_up` returns them."""
    keys = {each.session_id for each in moved} - {each.pk for each in except_for}
    if keys:
        sessions = RecordingSession.objects.filter(pk__in=keys).select_related("project__client")
        notify(*(Notice("moved_up", each) for each in sessions), by=by)


def _answer(challenge: Challenge) -> Notice:
    if challenge.outcome == ChallengeOutcome.WITHDRAWN:
        return Notice("challenge_withdrawn", challenge.hold, challenge.challenger)
    kind = "challenge_won" if challenge.outcome in WON else "challenge_lost"
    return Notice(kind, challenge.challenger, challenge.hold)


def contacts(session: RecordingSession) -> set[str]:
    """The addresses of the client and of the people who are reserved. One query."""
    people = session.reservations.filter(person__isnull=False).values_list(
        "person__email", flat=True
    )
    return {address for address in (session.project.client.email, *people) if address}


def managers() -> set[str]:
    """The addresses of the studio managers who sign in. One query."""
    users = get_user_model().objects.filter(role="manager", is_active=True).exclude(email="")
    return set(users.values_list("email", flat=True))


def _drafts(notice: Notice, house: set[str]) -> list[Draft]:
    """One letter an address, so that nobody reads who else was told."""
    calendars = ()
    if notice.kind in FOR_A_CALENDAR:
        calendars = (CalendarPart("PUBLISH", session_ics(notice.session)),)
    addresses = sorted(house | contacts(notice.session))
    return [_draft(notice, address, address in house, calendars) for address in addresses]


def _draft(notice: Notice, address: str, for_house: bool, calendars: tuple) -> Draft:
    """The template's first line is the subject."""
    text = render_to_string(
        f"sessions/bookings/notices/{notice.kind}.txt", {"notice": notice, "for_house": for_house}
    )
    subject, _, body = text.partition("\n")
    return Draft(to=address, subject=subject, text=LetterText.of_plain(body), calendars=calendars)
