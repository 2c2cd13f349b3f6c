"""A session as calendar programs read it: sent with a letter, or saved as a file."""

from dataclasses import dataclass
from datetime import datetime
from email.utils import parseaddr
from urllib.parse import quote
from uuid import UUID

from django.conf import settings
from django.utils import timezone
from icalendar import Event, vCalAddress, vText

from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.bookings.sequence import sequence_of
from sessions.ical.events import calendar_of, new_event, plain
from sessions.ical.names import name_of
from sessions.periods import duration_in_words, period_in_words
from sessions.rooms.models import HouseRules, Studio

# What a paper about the session calls itself, and what it says first. Only what is confirmed is
# called so.
CONFIRMED = ("Confirmation", "This session is confirmed.")
SAYS = {
    Status.ENQUIRY: ("Enquiry", "You asked for this time. Nothing is held for you yet."),
    Status.HELD: ("Hold", "This time is held for you. It is not confirmed yet."),
    Status.CANCELLED: ("Cancellation", "This session is cancelled. Nothing is booked any more."),
}
STATUS_WORDS = {
    Status.ENQUIRY: "TENTATIVE",
    Status.HELD: "TENTATIVE",
    Status.CANCELLED: "CANCELLED",
}
REQUEST, CANCEL, PUBLISH = "REQUEST", "CANCEL", "PUBLISH"  # RFC 5546, section 1.4


@dataclass(frozen=True)
class Attendee:
    """Whose calendar an event is for."""

    address: str
    name: str = ""


@dataclass(frozen=True)
class House:
    """What events say of the house, and letters with them. `namespace` makes the UIDs."""

    studio: Studio
    namespace: UUID

    @classmethod
    def current(cls) -> "House":
        """Costs two queries."""
        return cls(Studio.current(), HouseRules.current().calendar_namespace)


@dataclass(frozen=True)
class EventFacts:
    """What an event says beside the session itself; given where one session goes to many calendars."""

    house: House
    sequence: int
    reserved: tuple[Reservation, ...]  # as listed, missing ones too

    @classmethod
    def of(cls, session: RecordingSession) -> "EventFacts":
        """Costs four queries."""
        reserved = tuple(session.reservations.for_list())
        return cls(House.current(), sequence_of(session), reserved)


def session_itip(
    session: RecordingSession,
    *,
    attendee: Attendee,
    method: str,
    facts: EventFacts | None = None,
    now: datetime | None = None,
) -> bytes:
    """The session as a message to one person's calendar: put it there or change it (REQUEST), or take
    it out (CANCEL), by RFC 5546, sections 3.2.2 and 3.2.5.

    An object holds one session, since all its events must have one UID; who reads it is the only
    attendee, for nobody is told who else was written to. Nobody is asked to accept: the house books.
    Raises ValueError for a REQUEST where the session reserves nothing.
    """
    if method == REQUEST and not session.takes_time:
        raise ValueError(f"{session} reserves nothing, so nobody is asked to keep time free.")
    event = _event(session, facts, said=_said(session, method), now=now)
    if method == CANCEL:
        event["transp"] = vText("TRANSPARENT")
        del event["status"]  # must not stand where only this attendee is out of it
        if not session.takes_time:
            event.add("status", "CANCELLED")
    event.add("attendee", _attendee(attendee))
    return calendar_of([event], method=method)


def session_ics(session: RecordingSession, *, now: datetime | None = None) -> bytes:
    """The session as a published event (RFC 5546, section 3.2.1), to download.

    The same UID and SEQUENCE as in the letters, so that a calendar replaces what it had. For the
    client: no price, no note, nobody's phone number.
    """
    said = SAYS.get(session.status, CONFIRMED)[1]
    return calendar_of([_event(session, None, said=said, now=now)], method=PUBLISH)


def _event(
    session: RecordingSession, facts: EventFacts | None, *, said: str, now: datetime | None
) -> Event:
    facts = facts or EventFacts.of(session)
    studio = facts.house.studio
    rooms = [each for each in facts.reserved if each.room_id and not each.missing]
    event = new_event(
        uid=name_of(session, facts.house.namespace),
        changed_at=now or timezone.now(),
        sequence=facts.sequence,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        summary=f"{session.title}: {session.project.artist}",
        location=", ".join([*(each.room.name for each in rooms), studio.name]),
        description=[
            f"{session.project.name}, {session.project.artist}",
            said,
            *(
                f"{each.room}: {words[0].lower()}{words[1:]}"
                for each in rooms
                for words in padding_in_words(each)
            ),
        ],
        status=STATUS_WORDS.get(session.status, "CONFIRMED"),
        busy=session.takes_time,
    )
    event.add("organizer", _organizer(studio))
    return event


def _said(session: RecordingSession, method: str) -> str:
    """To client and people alike."""
    if session.status == Status.CANCELLED:
        return "Cancelled. Nothing is booked any more."
    if not session.takes_time:
        return "Released. Nothing is held any more."
    if method == CANCEL:
        return "You are not booked for this session any more."
    return "Held, not confirmed yet." if session.status == Status.HELD else "Confirmed."


def _organizer(studio: Studio) -> vCalAddress:
    """The address that the letters come from: a program compares the two."""
    address = studio.sender or parseaddr(settings.DEFAULT_FROM_EMAIL)[1]
    return _calendar_address(address, studio.name)


def _attendee(attendee: Attendee) -> vCalAddress:
    address = _calendar_address(attendee.address, attendee.name)
    address.params["CUTYPE"] = vText("INDIVIDUAL")
    address.params["ROLE"] = vText("REQ-PARTICIPANT")
    address.params["PARTSTAT"] = vText("NEEDS-ACTION")
    address.params["RSVP"] = vText("FALSE")
    return address


def _calendar_address(address: str, name: str) -> vCalAddress:
    written = vCalAddress("mailto:" + quote(address, safe="@!$'*+="))  # RFC 6068, section 2
    if name:
        written.params["CN"] = vText(plain(name))
    return written


def padding_in_words(reservation: Reservation) -> list[str]:
    """What of the reservation lies before and after its work; nothing where there is none."""
    around = [
        ("Before", reservation.starts_at, reservation.ready_at),
        ("After", reservation.done_at, reservation.ends_at),
    ]
    return [
        f"{word}, {duration_in_words(until - since)}: {period_in_words(since, until)}"
        for word, since, until in around
        if since < until
    ]
