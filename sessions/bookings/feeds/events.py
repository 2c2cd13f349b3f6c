"""Sessions and blocks as events of a calendar (RFC 5545, section 3.6.1)."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from unicodedata import category

from django.conf import settings
from django.utils import timezone
from icalendar import Calendar, Event, vDuration

from sessions.bookings.feeds.zones import zone_rules
from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.bookings.periods import duration_in_words, period_in_words

PRODUCT = "-//Studio sessions//Bookings//EN"
REFRESH = timedelta(minutes=15)
STATUS_WORDS = {
    Status.INQUIRY: "TENTATIVE",
    Status.HELD: "TENTATIVE",
    Status.CANCELLED: "CANCELLED",
}


def plain(text: str) -> str:
    """Without the control characters that TEXT (section 3.3.11) does not allow; line feeds stay."""
    lines = "\n".join(text.splitlines())
    return "".join(sign for sign in lines if sign == "\n" or category(sign) not in {"Cc", "Cs"})


def calendar_of(
    events: Iterable[Event], *, method: str = "", name: str = "", uid: str = ""
) -> bytes:
    """The events with the zone's rules for their time, as the bytes of a file.

    A name makes it a feed by RFC 7986: it says how it is called and how often to ask again.
    """
    events = list(events)
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    if method:
        calendar.add("method", method)
    if name:
        calendar.add("name", plain(name))
        calendar.add("uid", uid)
        calendar.add("refresh-interval", vDuration(REFRESH), {"VALUE": "DURATION"})
    instants = [event[end].dt for event in events for end in ("dtstart", "dtend")]
    if any(instant.tzinfo is not UTC for instant in instants):
        rules = zone_rules(timezone.get_default_timezone(), min(instants), max(instants))
        calendar.add_component(rules)
    for event in events:
        calendar.add_component(event)
    return calendar.to_ical()


def new_event(
    *,
    uid: str,
    changed_at: datetime,
    sequence: int,
    starts_at: datetime,
    ends_at: datetime,
    summary: str,
    location: str,
    description: list[str],
    status: str = "CONFIRMED",
    busy: bool = True,
) -> Event:
    """An event with everything that ours have. Its text is cleaned; empty lines are left out."""
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", changed_at.astimezone(UTC).replace(microsecond=0))
    event.add("last-modified", changed_at.astimezone(UTC).replace(microsecond=0))
    event.add("sequence", sequence)
    for end, instant in zip(("dtstart", "dtend"), _told(starts_at, ends_at), strict=True):
        event.add(end, instant)
    event.add("summary", plain(summary))
    event.add("location", plain(location))
    event.add("description", plain("\n".join(filter(None, description))))
    event.add("status", status)
    event.add("transp", "OPAQUE" if busy else "TRANSPARENT")
    return event


def _told(starts_at: datetime, ends_at: datetime) -> tuple[datetime, datetime]:
    """Both ends on the studio's clock, or in UTC.

    A time of the hour that comes twice means the first one there (section 3.3.5), so a period with
    an end in the second is told in UTC.
    """
    zone = timezone.get_default_timezone()
    local = starts_at.astimezone(zone), ends_at.astimezone(zone)
    if any(instant.fold for instant in local):
        return starts_at.astimezone(UTC), ends_at.astimezone(UTC)
    return local


def reservation_event(reservation: Reservation, *, uid: str, changed_at: datetime) -> Event:
    """What a room or person is taken for, padding and all. Reads what `contents.py` loads."""
    if reservation.block_id:
        return _block_event(reservation, uid=uid, changed_at=changed_at)
    session = reservation.session
    return new_event(
        uid=uid,
        changed_at=changed_at,
        sequence=session.version - 1,
        starts_at=reservation.starts_at,
        ends_at=reservation.ends_at,
        summary=_session_in_words(session, reservation),
        location=_places(reservation, session.reservations.all()),
        description=[
            f"{session.project.name}, {session.project.artist}",
            f"Client: {session.project.client}",
            f"Status: {reservation_status(reservation)}",
            f"Session: {session.period_in_words}",
            *padding_in_words(reservation),
        ],
        status=STATUS_WORDS.get(session.status, "CONFIRMED"),
        busy=reservation.rank == 1,
    )


def _block_event(reservation: Reservation, *, uid: str, changed_at: datetime) -> Event:
    block = reservation.block
    return new_event(
        uid=uid,
        changed_at=changed_at,
        sequence=block.version - 1,
        starts_at=reservation.starts_at,
        ends_at=reservation.ends_at,
        summary=f"{block.get_kind_display()}: {block.title}",
        location=_places(reservation, block.reservations.all()),
        description=[f"Not to be had: {block.get_kind_display().lower()}"],
    )


def reservation_status(reservation: Reservation) -> str:
    if reservation.session.status == Status.CANCELLED:
        return "cancelled"
    return reservation.standing


def _session_in_words(session: RecordingSession, reservation: Reservation) -> str:
    words = f"{session.title}: {session.project.artist}"
    firm = session.status not in {Status.HELD, Status.CANCELLED}
    return words if firm else f"{words} ({reservation_status(reservation)})"


def _places(reservation: Reservation, others: Iterable[Reservation]) -> str:
    """The room itself, or the rooms that the person is needed in; and the house."""
    rooms = [reservation.room] if reservation.room_id else [each.room for each in others]
    return ", ".join([*(room.name for room in rooms), settings.STUDIO_NAME])


def padding_in_words(reservation: Reservation) -> list[str]:
    """What of the reservation lies before and after its work; nothing where there is none."""
    before = timedelta(minutes=reservation.before_minutes)
    after = timedelta(minutes=reservation.after_minutes)
    words = []
    if before:
        until = reservation.starts_at + before
        words.append(
            f"Before, {duration_in_words(before)}: {period_in_words(reservation.starts_at, until)}"
        )
    if after:
        since = reservation.ends_at - after
        words.append(
            f"After, {duration_in_words(after)}: {period_in_words(since, reservation.ends_at)}"
        )
    return words
