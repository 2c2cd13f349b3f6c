"""A small calendar program: reads letters in the order in which they come, and keeps one person's
calendar by RFC 5546 (iTIP) and RFC 6047 (iMIP). It knows nothing of how ours are written.

What a program may not apply, or what a careful one would ask about, raises `Refused`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from email import policy
from email.message import EmailMessage
from email.parser import BytesParser
from email.utils import parseaddr
from urllib.parse import unquote

from icalendar import Calendar, Event

METHODS = {"REQUEST", "CANCEL"}
PRESENT = {  # RFC 5546, sections 3.2.2 and 3.2.5: presence 1 or 1+; SEQUENCE may lack where it is 0
    "REQUEST": ("ATTENDEE", "DTSTAMP", "DTSTART", "ORGANIZER", "SUMMARY", "UID"),
    "CANCEL": ("ATTENDEE", "DTSTAMP", "ORGANIZER", "SEQUENCE", "UID"),
}
ONCE = ("DTSTAMP", "DTSTART", "DTEND", "ORGANIZER", "SEQUENCE", "STATUS", "SUMMARY", "UID")
STATUSES = {"REQUEST": {None, "TENTATIVE", "CONFIRMED"}, "CANCEL": {None, "CANCELLED"}}


class Refused(Exception):
    """What is sent breaks a standard, or cannot be applied."""


@dataclass(frozen=True)
class Entry:
    """One event of a calendar, in UTC; whole days are dates."""

    uid: str
    starts: datetime | date
    ends: datetime | date
    status: str
    summary: str
    location: str


@dataclass(frozen=True)
class Applied:
    """What became of one object: "added", "changed", "same", "removed", "stale", or "unknown" of a
    cancellation of what was never there."""

    uid: str
    method: str
    what: str


class CalendarOf:
    """The calendar of whoever has the address, as its letters have made it."""

    def __init__(self, address: str):
        self.address = address.lower()
        self.entries: dict[str, Entry] = {}
        self._newest: dict[str, tuple[int, datetime]] = {}  # also of what was cancelled
        self._organizers: dict[str, str] = {}

    def read(self, message: bytes) -> list[Applied]:
        """Apply what one letter carries; each object once, however often it stands there."""
        letter = parsed(message)
        sender = parseaddr(letter["From"])[1].lower()
        return [self.apply(each, sender=sender) for each in objects_of(letter)]

    def apply(self, calendar: Calendar, *, sender: str) -> Applied:
        method, event = _checked(calendar)
        if self.address not in _addresses(event, "ATTENDEE"):
            raise Refused(f"{self.address} is no attendee of it")
        [organizer] = _addresses(event, "ORGANIZER")
        if sender and sender != organizer:  # RFC 6047, section 3: somebody else’s letter
            raise Refused(f"sent by {sender}, organized by {organizer}")
        uid = str(event["UID"])
        if self._organizers.setdefault(uid, organizer) != organizer:
            raise Refused(f"{uid} had another organizer")
        return Applied(uid, method, self._apply(method, event, uid))

    def _apply(self, method: str, event: Event, uid: str) -> str:
        """RFC 5546, section 2.1.5: the greater SEQUENCE wins, of equal ones the later DTSTAMP."""
        this = int(event.get("SEQUENCE", 0)), event["DTSTAMP"].dt
        newest = self._newest.get(uid)
        if newest and this < newest:
            return "stale"
        if method == "CANCEL" and newest and this[0] <= newest[0] and uid in self.entries:
            raise Refused("a cancellation that does not count higher")  # section 2.1.4
        self._newest[uid] = this
        before = self.entries.pop(uid, None)
        if method == "CANCEL":
            return "removed" if before else "unknown"
        self.entries[uid] = entry = _entry(event)
        if before is None:
            return "added"
        if _moved(before, entry) and newest[0] == this[0]:
            raise Refused("another time or status under the same SEQUENCE")  # section 2.1.4
        return "same" if before == entry else "changed"


def parsed(message: bytes) -> EmailMessage:
    """By Python's `email` policy for SMTP, which notes what is wrong."""
    letter = BytesParser(policy=policy.SMTP).parsebytes(message)
    if wrong := [defect for part in letter.walk() for defect in part.defects]:
        raise Refused(f"not a proper message: {wrong}")
    return letter


def objects_of(letter: EmailMessage) -> list[Calendar]:
    """The calendar objects of a letter, by what they say: an alternative and a file may be one.

    RFC 6047, section 2.4: a `method` as in the object, UTF-8 said where it is needed, and never two
    different objects as alternatives of one another.
    """
    found: dict[bytes, Calendar] = {}
    for part in letter.walk():
        if part.get_content_type() == "multipart/alternative":
            inside = {_content(each) for each in part.walk() if _is_calendar(each)}
            if len(inside) > 1:
                raise Refused("two calendar objects as alternatives")
        if not _is_calendar(part):
            continue
        if (part.get_content_charset() or "us-ascii").lower() != "utf-8":
            raise Refused("a calendar part without charset=utf-8")
        [calendar] = Calendar.from_ical(_content(part), multiple=True)
        said = str(calendar.get("METHOD", ""))
        if (part.get_param("method") or "").upper() != said.upper():
            raise Refused(f"method={part.get_param('method')} of {said}")
        found[_content(part)] = calendar
    return list(found.values())


def _is_calendar(part: EmailMessage) -> bool:
    return part.get_content_type() == "text/calendar"


def _content(part: EmailMessage) -> bytes:
    return part.get_payload(decode=True).replace(b"\r\n", b"\n")


def _checked(calendar: Calendar) -> tuple[str, Event]:
    """The method, and the one event; ours do not repeat, so that one object is one event."""
    method = str(calendar.get("METHOD", "")).upper()
    if method not in METHODS:
        raise Refused(f"method {method or 'not given'}")
    if calendar.errors or any(event.errors for event in calendar.events):
        raise Refused(f"not proper iCalendar: {calendar.errors}")
    [event] = calendar.events
    if lacking := [name for name in PRESENT[method] if name not in event]:
        raise Refused(f"{method} without {lacking}")
    if twice := [name for name in ONCE if isinstance(event.get(name), list)]:
        raise Refused(f"{twice} more than once")
    if event.get("STATUS") not in STATUSES[method]:
        raise Refused(f"{method} with status {event['STATUS']}")
    zones = {str(zone["TZID"]) for zone in calendar.timezones}
    for end in ("DTSTART", "DTEND"):
        if end in event and (zone := event[end].params.get("TZID")) and zone not in zones:
            raise Refused(f"no VTIMEZONE for {zone}")
    return method, event


def _addresses(event: Event, name: str) -> Iterator[str]:
    value = event[name]
    for each in value if isinstance(value, list) else [value]:
        scheme, _, address = str(each).partition(":")
        if scheme.lower() == "mailto":  # RFC 6047, section 2.3
            yield unquote(address).lower()


def _entry(event: Event) -> Entry:
    return Entry(
        uid=str(event["UID"]),
        starts=_in_utc(event.start),
        ends=_in_utc(event.end),
        status=str(event.get("STATUS", "")),
        summary=str(event["SUMMARY"]),
        location=str(event.get("LOCATION", "")),
    )


def _in_utc(moment: datetime | date) -> datetime | date:
    return moment.astimezone(UTC) if isinstance(moment, datetime) else moment


def _moved(before: Entry, after: Entry) -> bool:
    return (before.starts, before.ends, before.status) != (after.starts, after.ends, after.status)
