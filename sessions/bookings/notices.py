"""Who is told by e-mail what became of holds, and what happens when the mail server fails.

Sent after the commit: a mail that cannot be sent never undoes a booking. It is logged, and said on
the page of whoever acted (`saying_who_was_not_told`).
"""

import logging
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import datetime
from smtplib import SMTPDataError, SMTPRecipientsRefused, SMTPSenderRefused

from django.contrib import messages
from django.contrib.auth import get_user_model
from django.core.mail import EmailMessage, get_connection
from django.db import transaction
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
from sessions.rooms.models import HouseRules

REFUSED = (SMTPRecipientsRefused, SMTPSenderRefused, SMTPDataError)

# From one status to the next -> the template of what is told; other steps are the house's own.
KINDS = {
    (Status.INQUIRY, Status.CONFIRMED): "confirmed",
    (Status.HELD, Status.CONFIRMED): "confirmed",
    (Status.HELD, Status.INQUIRY): "released",
    (Status.HELD, Status.CANCELLED): "released",
    (Status.CONFIRMED, Status.CANCELLED): "cancelled",
}
# With these comes the session for a calendar; its second file replaces its first.
FOR_A_CALENDAR = {"confirmed", "cancelled"}

logger = logging.getLogger(__name__)
_not_told: ContextVar[set[str] | None] = ContextVar("not_told", default=None)
_quiet: ContextVar[bool] = ContextVar("quiet", default=False)


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


@contextmanager
def telling_nobody() -> Iterator[None]:
    """For filling a studio with invented sessions."""
    token = _quiet.set(True)
    try:
        yield
    finally:
        _quiet.reset(token)


def tell(*notices: Notice) -> None:
    """Tell everyone concerned, once the transaction that is open has been committed."""
    if notices and not _quiet.get():
        transaction.on_commit(lambda: _send(notices), robust=True)


def tell_of_step(session: RecordingSession, came_from: str) -> None:
    """Tell those of the session what it has become, where that is theirs to know."""
    kind = "lapsed" if session.lapsed_at else KINDS.get((came_from, session.status))
    if kind:
        tell(Notice(kind, session))


def tell_of_moves(
    session: RecordingSession, moved: list[Reservation], closed: list[Challenge]
) -> None:
    """After the session has moved: tell those whose challenge is over, and who moved up by it."""
    tell(*(_answer(challenge) for challenge in closed))
    winners = {each.challenger for each in closed if each.outcome in WON}
    tell_moved_up(moved, except_for={session, *winners})


def tell_moved_up(moved: list[Reservation], *, except_for: Iterable[RecordingSession] = ()) -> None:
    """Tell the sessions of the reservations that moved up in line, as `holds.move_up` returns them."""
    keys = {each.session_id for each in moved} - {each.pk for each in except_for}
    if keys:
        sessions = RecordingSession.objects.filter(pk__in=keys)
        tell(*(Notice("moved_up", each) for each in sessions.select_related("project__client")))


def _answer(challenge: Challenge) -> Notice:
    if challenge.outcome == ChallengeOutcome.WITHDRAWN:
        return Notice("challenge_withdrawn", challenge.hold, challenge.challenger)
    kind = "challenge_won" if challenge.outcome in WON else "challenge_lost"
    return Notice(kind, challenge.challenger, challenge.hold)


@contextmanager
def saying_who_was_not_told(request) -> Iterator[None]:
    """Within it, addresses to which no mail could be sent are collected and said on the next page."""
    not_told = set()
    token = _not_told.set(not_told)
    try:
        yield
    finally:
        _not_told.reset(token)
    if not_told:
        messages.warning(
            request,
            "It is saved, but the mail server did not take the e-mail to "
            f"{', '.join(sorted(not_told))}. Tell them another way.",
        )


def contacts(session: RecordingSession) -> set[str]:
    """The addresses of the client and of the people who are reserved. One query."""
    people = session.reservations.filter(person__isnull=False).values_list(
        "person__email", flat=True
    )
    return {address for address in (session.project.client.email, *people) if address}


def managers() -> set[str]:
    """The addresses of the studio managers who sign in. One query."""
    return set(
        get_user_model()
        .objects.filter(role="manager", is_active=True)
        .exclude(email="")
        .values_list("email", flat=True)
    )


def letters(notice: Notice, house: set[str], sender: str | None) -> list[EmailMessage]:
    """One letter an address, so that nobody reads who else was told."""
    addresses = sorted(house | contacts(notice.session))
    event = session_ics(notice.session).decode() if notice.kind in FOR_A_CALENDAR else ""
    return [_letter(notice, address, address in house, sender, event) for address in addresses]


def _letter(
    notice: Notice, address: str, for_house: bool, sender: str | None, event: str
) -> EmailMessage:
    """The template's first line is the subject; an `event` is attached for the reader's calendar."""
    text = render_to_string(
        f"sessions/bookings/notices/{notice.kind}.txt", {"notice": notice, "for_house": for_house}
    )
    subject, _, body = text.partition("\n")
    letter = EmailMessage(subject, body.strip() + "\n", sender, [address])
    if event:
        letter.attach("session.ics", event, "text/calendar")
    return letter


def _send(notices: tuple[Notice, ...]) -> None:
    house, sender = managers(), HouseRules.current().sender or None
    waiting = [letter for notice in notices for letter in letters(notice, house, sender)]
    not_told = {address for letter in undelivered(waiting) for address in letter.to}
    if not_told and (collected := _not_told.get()) is not None:
        collected |= not_told


def undelivered(waiting: list[EmailMessage]) -> list[EmailMessage]:
    """Send them over one connection; returns those that the mail server did not take.

    A refused address does not keep the others from being told; a server that is gone is not asked
    again for each of them.
    """
    refused = []
    left = list(waiting)
    try:
        with get_connection() as connection:
            while left:
                try:
                    connection.send_messages(left[:1])
                except REFUSED:
                    logger.exception("Not told by e-mail: %s", left[0].to)
                    refused.append(left[0])
                left.pop(0)
    except Exception:  # whatever a mail server does, the booking stands
        logger.exception("Not told by e-mail: %s", [letter.to for letter in left])
    return refused + left
