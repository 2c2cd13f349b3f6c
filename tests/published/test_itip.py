"""The calendar program of the tests (`tests/itip_reader.py`) against the examples of RFC 5546
(December 2009) and the rules of RFC 6047 (December 2010), sections as named; our messages against it."""

from datetime import UTC, datetime, timedelta
from email.message import EmailMessage

import pytest
from icalendar import Calendar

from sessions.bookings.event import CANCEL, REQUEST, Attendee, session_itip
from sessions.bookings.models import Status
from sessions.letters.mime import as_message
from sessions.letters.models import Letter
from sessions.letters.outbox import CalendarPart, Draft, post
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio
from tests.factories import RecordingSessionFactory, ReservationFactory
from tests.itip_reader import Applied, CalendarOf, Refused

UID = "calsrv.example.com-873970198738777@example.com"
ATTENDEES = """ATTENDEE;ROLE=CHAIR;PARTSTAT=ACCEPTED;CN=A:mailto:a@example.com
ATTENDEE;RSVP=TRUE;CUTYPE=INDIVIDUAL;CN=B:mailto:b@example.com
ATTENDEE;RSVP=TRUE;CUTYPE=INDIVIDUAL;CN=C:mailto:c@example.com"""
# Section 4.2.1, a group event request
ASKED = f"""DTSTAMP:19970611T190000Z
DTSTART:19970701T200000Z
DTEND:19970701T210000Z
SUMMARY:Conference
UID:{UID}
SEQUENCE:0
STATUS:CONFIRMED"""
# Section 4.2.3, an update of it
MOVED = f"""DTSTAMP:19970613T190000Z
DTSTART:19970701T180000Z
DTEND:19970701T190000Z
SUMMARY:Conference
UID:{UID}
SEQUENCE:1
STATUS:CONFIRMED"""
# Section 4.2.9, its cancellation
CANCELLED = f"""COMMENT:Mr. B cannot attend. It's raining. Lets cancel.
DTSTAMP:19970613T190000Z
UID:{UID}
SEQUENCE:1
STATUS:CANCELLED"""
# Section 4.2.10, one attendee removed
REMOVED = f"""COMMENT:You are no longer needed at this meeting.
DTSTAMP:19970613T190000Z
UID:{UID}
SEQUENCE:1"""


def an_object(method: str, event: str, attendees: str = ATTENDEES) -> Calendar:
    return Calendar.from_ical(
        f"BEGIN:VCALENDAR\nPRODID:-//Example/ExampleCalendarClient//EN\nMETHOD:{method}\n"
        f"VERSION:2.0\nBEGIN:VEVENT\nORGANIZER:mailto:a@example.com\n{attendees}\n{event}\n"
        "END:VEVENT\nEND:VCALENDAR\n"
    )


@pytest.fixture
def b():
    return CalendarOf("B@example.com")


def told(calendar: CalendarOf, method: str, event: str, **more) -> str:
    return calendar.apply(an_object(method, event, **more), sender="a@example.com").what


def test_event_is_asked_for_moved_and_cancelled(b):
    assert told(b, "REQUEST", ASKED) == "added"
    assert b.entries[UID].starts == datetime(1997, 7, 1, 20, tzinfo=UTC)

    assert told(b, "REQUEST", MOVED) == "changed"
    assert b.entries[UID].starts == datetime(1997, 7, 1, 18, tzinfo=UTC)

    last = CANCELLED.replace("SEQUENCE:1", "SEQUENCE:2")
    assert told(b, "CANCEL", last) == "removed"
    assert b.entries == {}


@pytest.mark.parametrize("end", [CANCELLED, REMOVED])
def test_event_is_cancelled_and_an_attendee_is_removed(b, end):
    told(b, "REQUEST", ASKED)

    assert told(b, "CANCEL", end) == "removed"


# Section 2.1.5: messages may come in another order than they were sent in
def test_late_message_changes_nothing(b):
    told(b, "REQUEST", MOVED)
    assert told(b, "REQUEST", ASKED) == "stale"
    assert b.entries[UID].starts == datetime(1997, 7, 1, 18, tzinfo=UTC)

    told(b, "CANCEL", CANCELLED.replace("SEQUENCE:1", "SEQUENCE:2"))
    assert told(b, "REQUEST", MOVED) == "stale"
    assert b.entries == {}


def test_same_message_twice_is_one(b):
    assert [told(b, "REQUEST", ASKED) for _ in range(2)] == ["added", "same"]


@pytest.mark.parametrize(
    ("method", "event", "attendees", "why"),
    [
        ("REQUEST", ASKED, "ATTENDEE:mailto:c@example.com", "no attendee"),
        ("REQUEST", ASKED.replace("SUMMARY:Conference\n", ""), ATTENDEES, "without"),
        ("REQUEST", ASKED.replace("CONFIRMED", "CANCELLED"), ATTENDEES, "with status"),
        ("CANCEL", REMOVED + "\nSTATUS:CONFIRMED", ATTENDEES, "with status"),
        ("CANCEL", REMOVED.replace("\nSEQUENCE:1", ""), ATTENDEES, "without"),
        ("PUBLISH", ASKED, ATTENDEES, "method"),
    ],
)
def test_object_that_breaks_a_table_of_section_3_2_is_refused(b, method, event, attendees, why):
    with pytest.raises(Refused, match=why):
        told(b, method, event, attendees=attendees)


# Section 2.1.4: SEQUENCE must be incremented with DTSTART and with each CANCEL
@pytest.mark.parametrize(("method", "event"), [("REQUEST", MOVED), ("CANCEL", REMOVED)])
def test_change_that_does_not_count_higher_is_refused(b, method, event):
    told(b, "REQUEST", ASKED)

    with pytest.raises(Refused):
        told(b, method, event.replace("SEQUENCE:1", "SEQUENCE:0"))


def test_somebody_elses_letter_is_refused(b):
    with pytest.raises(Refused, match="sent by"):
        b.apply(an_object("REQUEST", ASKED), sender="mallory@example.com")


def a_letter(*parts: tuple[bytes, str], alternatives: bool = False) -> bytes:
    letter = EmailMessage()
    letter["From"], letter["To"] = "a@example.com", "b@example.com"
    letter.set_content("Conference")
    for content, method in parts:
        add = letter.add_alternative if alternatives else letter.add_attachment
        add(content.decode(), subtype="calendar", params={"method": method})
    return letter.as_bytes()


# RFC 6047, section 2.4
def test_two_objects_are_no_alternatives_and_methods_are_alike(b):
    asked, moved = (an_object("REQUEST", each).to_ical() for each in (ASKED, MOVED))

    assert [each.what for each in b.read(a_letter((asked, "request")))] == ["added"]
    assert len(b.read(a_letter((asked, "REQUEST"), (moved, "REQUEST")))) == 2
    with pytest.raises(Refused, match="alternatives"):
        b.read(a_letter((asked, "REQUEST"), (moved, "REQUEST"), alternatives=True))
    with pytest.raises(Refused, match="method=CANCEL of REQUEST"):
        b.read(a_letter((asked, "CANCEL")))


# --- ours -----------------------------------------------------------------------------------------


@pytest.fixture
def ulric():
    return CalendarOf("ulric@quay-steps.example")


@pytest.fixture
def session(db):
    Studio.objects.create(pk=1, name="Quay Steps Studio", sender="desk@quay-steps.example")
    session = RecordingSessionFactory(project__artist="Four Men; “brass”, 🎻", title="Overdubs")
    ReservationFactory(session=session, room__name="Rope Floor")
    return session


def sent(manager, *sessions_and_methods) -> bytes:
    """A letter of ours with those objects, as it goes to a mail server."""
    ulric = Attendee("Ulric@quay-steps.example", "Ulric Yarrell")
    parts = [
        CalendarPart(method, session_itip(session, attendee=ulric, method=method))
        for session, method in sessions_and_methods
    ]
    draft = Draft(
        to=ulric.address,
        subject="Overdubs",
        text=LetterText(greeting="Dear Ulric,"),
        calendars=tuple(parts),
    )
    sender = Studio.current().writes_as
    [letter] = post(
        [each for each, _ in sessions_and_methods],
        kind="booked",
        drafts=[draft],
        sender=sender,
        by=manager,
    )
    return as_message(Letter.objects.get(pk=letter.pk)).message().as_bytes()


def test_session_is_booked_moved_and_cancelled_in_a_calendar(session, manager, ulric):
    uid = ulric.read(sent(manager, (session, REQUEST)))[0].uid
    assert ulric.entries[uid].starts == session.starts_at
    assert ulric.entries[uid].summary == "Overdubs: Four Men; “brass”, 🎻"

    session.starts_at += timedelta(hours=1)
    session.save()
    assert ulric.read(sent(manager, (session, REQUEST))) == [Applied(uid, REQUEST, "changed")]
    assert ulric.entries[uid].starts == session.starts_at

    session.status = Status.CANCELLED
    session.save()
    assert ulric.read(sent(manager, (session, CANCEL))) == [Applied(uid, CANCEL, "removed")]


def test_letter_about_several_sessions_changes_them_all(session, manager, ulric):
    other = RecordingSessionFactory(status=Status.HELD)
    ReservationFactory(session=other)
    ulric.read(sent(manager, (session, REQUEST)))
    session.status = Status.CANCELLED
    session.save()

    done = ulric.read(sent(manager, (session, CANCEL), (other, REQUEST)))

    assert [each.what for each in done] == ["removed", "added"]
    [entry] = ulric.entries.values()
    assert (entry.starts, entry.status) == (other.starts_at, "TENTATIVE")
