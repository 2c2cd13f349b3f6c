"""A letter as an Internet message, as Python's email policy and icalendar read it; calendar objects by
RFC 6047, section 2.4: type text/calendar with the method of the body, charset, and nothing of eight bits."""

import email
import email.policy

import icalendar
import pytest

from sessions.letters.mime import as_message
from sessions.letters.outbox import CalendarPart, Draft, post
from sessions.letters.text import LetterText
from tests.factories import RecordingSessionFactory

pytestmark = pytest.mark.django_db
# RFC 5546, section 4.2.3 (an update of an event), shortened; a summary beyond ASCII.
REQUEST = (
    "BEGIN:VCALENDAR\r\nPRODID:-//Example/ExampleCalendarClient//EN\r\nMETHOD:REQUEST\r\n"
    "VERSION:2.0\r\nBEGIN:VEVENT\r\nORGANIZER:mailto:a@example.com\r\n"
    "ATTENDEE;RSVP=TRUE;CUTYPE=INDIVIDUAL:mailto:b@example.com\r\n"
    "UID:calsrv.example.com-873970198738777@example.com\r\nSEQUENCE:1\r\n"
    "DTSTAMP:19970613T190000Z\r\nDTSTART:19970701T180000Z\r\nDTEND:19970701T190000Z\r\n"
    "SUMMARY:Säume\r\nSTATUS:CONFIRMED\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
).encode()
PDF = b"%PDF-1.7\n\xe2\xe3\xcf\xd3\n%%EOF\n"


@pytest.fixture
def message_of(manager):
    def written(**facts):
        text = LetterText(greeting="Hello Säume,", paragraphs=("See you.",))
        draft = Draft(to="band@b.example", subject="Moved", text=text, **facts)
        [letter] = post(RecordingSessionFactory(), kind="moved", drafts=[draft], by=manager)
        content = as_message(letter).message().as_bytes(linesep="\r\n")
        content.decode("ascii")  # seven bits throughout
        assert max(map(len, content.split(b"\r\n"))) <= 998  # RFC 5322, section 2.1.1
        return email.message_from_bytes(content, policy=email.policy.SMTP)

    return written


def shape(part):
    if not part.is_multipart():
        return part.get_content_type()
    return part.get_content_type(), [shape(each) for each in part.iter_parts()]


def test_letter_alone_is_text_and_html_alike(message_of):
    message = message_of()

    assert shape(message) == ("multipart/alternative", ["text/plain", "text/html"])
    assert message.get_body(("plain",)).get_content() == "Hello Säume,\r\n\r\nSee you.\r\n"
    assert "Hello Säume," in message.get_body(("html",)).get_content()


def test_one_calendar_object_is_an_alternative_and_a_file(message_of):
    files = (("confirmation.pdf", "application/pdf", PDF),)
    message = message_of(calendars=(CalendarPart("REQUEST", REQUEST),), files=files)

    assert shape(message) == (
        "multipart/mixed",
        [
            ("multipart/alternative", ["text/plain", "text/html", "text/calendar"]),
            "application/pdf",
            "text/calendar",
        ],
    )
    parts = [part for part in message.walk() if part.get_content_type() == "text/calendar"]
    for part in parts:
        parameters = part["Content-Type"].params
        assert (parameters["method"], parameters["charset"].lower()) == ("REQUEST", "utf-8")
        calendar = icalendar.Calendar.from_ical(part.get_payload(decode=True))
        assert calendar["METHOD"] == parameters["method"]
        assert calendar.walk("VEVENT")[0]["SUMMARY"] == "Säume"
        assert part.get_payload(decode=True) == REQUEST
    assert [part.get_filename() for part in parts] == [None, "session.ics"]
    [paper] = [part for part in message.iter_attachments() if part.get_filename() == files[0][0]]
    assert paper.get_content() == PDF


def test_several_calendar_objects_are_no_alternatives_of_one_another(message_of):
    parts = (CalendarPart("REQUEST", REQUEST, "1.ics"), CalendarPart("CANCEL", REQUEST, "2.ics"))
    message = message_of(calendars=parts)

    assert shape(message) == (
        "multipart/mixed",
        [
            ("multipart/alternative", ["text/plain", "text/html"]),
            "text/calendar",
            "text/calendar",
        ],
    )
    methods = [part["Content-Type"].params["method"] for part in message.iter_attachments()]
    assert methods == ["REQUEST", "CANCEL"]
