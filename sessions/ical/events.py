"""Sessions and blocks as events of a calendar (RFC 5545, section 3.6.1)."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from unicodedata import category

from django.utils import timezone
from icalendar import Calendar, Event, vDuration

from sessions.ical.zones import zone_rules

PRODUCT = "-//Studio sessions//Bookings//EN"
REFRESH = timedelta(minutes=15)


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
    ends = [event[end].dt for event in events for end in ("dtstart", "dtend")]
    instants = [end for end in ends if isinstance(end, datetime)]
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
    starts_at: datetime | date,
    ends_at: datetime | date,
    summary: str,
    location: str,
    description: list[str],
    status: str = "CONFIRMED",
    busy: bool = True,
) -> Event:
    """An event with everything that ours have. Its text is cleaned; empty lines are left out.

    Whole days are given as dates; the last one is not part of the event (section 3.6.1).
    """
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", changed_at.astimezone(UTC).replace(microsecond=0))
    event.add("last-modified", changed_at.astimezone(UTC).replace(microsecond=0))
    event.add("sequence", sequence)
    if isinstance(starts_at, datetime):
        starts_at, ends_at = _in_zone(starts_at, ends_at)
    event.add("dtstart", starts_at)
    event.add("dtend", ends_at)
    event.add("summary", plain(summary))
    event.add("location", plain(location))
    event.add("description", plain("\n".join(filter(None, description))))
    event.add("status", status)
    event.add("transp", "OPAQUE" if busy else "TRANSPARENT")
    return event


def _in_zone(starts_at: datetime, ends_at: datetime) -> tuple[datetime, datetime]:
    """Both ends on the studio's clock, or in UTC.

    A time of the hour that comes twice means the first one there (section 3.3.5), so a period with
    an end in the second is told in UTC.
    """
    zone = timezone.get_default_timezone()
    local = starts_at.astimezone(zone), ends_at.astimezone(zone)
    if any(instant.fold for instant in local):
        return starts_at.astimezone(UTC), ends_at.astimezone(UTC)
    return local
