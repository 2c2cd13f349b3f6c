"""Somebody’s calendar comes in: read (RFC 5545), matched, tried, booked."""

from datetime import UTC, datetime
from uuid import uuid4

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from sessions.bookings.models import Block, RecordingSession, Status
from sessions.desk.calendar_import.reading import MOST_EVENTS
from sessions.letters.models import Letter
from tests.factories import (
    ClientFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
)

pytestmark = pytest.mark.django_db

PAGE = reverse("calendar_import:page")
NEW_YORK = """BEGIN:VTIMEZONE
TZID:Eastern
BEGIN:STANDARD
DTSTART:20251102T020000
TZOFFSETFROM:-0400
TZOFFSETTO:-0500
RRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:20260308T020000
TZOFFSETFROM:-0500
TZOFFSETTO:-0400
RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU
END:DAYLIGHT
END:VTIMEZONE"""


@pytest.fixture(autouse=True)
def _spring():
    with time_machine.travel(datetime(2026, 5, 1, 9, tzinfo=UTC)):
        yield


@pytest.fixture
def room():
    RoomFactory(name="Bread Room")
    return RoomFactory(name="Rope Floor")


@pytest.fixture
def project():
    return ProjectFactory(
        name="Ninth Tide EP", artist="The Windlass Four", client=ClientFactory(name="Pier Records")
    )


def event(*lines):
    return "\n".join(
        ["BEGIN:VEVENT", f"UID:{uuid4()}", "DTSTAMP:20260101T000000Z", *lines, "END:VEVENT"]
    )


def calendar(*parts):
    whole = "\n".join(
        ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//c.example//EN", *parts, "END:VCALENDAR"]
    )
    return SimpleUploadedFile("calendar.ics", whole.replace("\n", "\r\n").encode())


def sent(file, first="2026-06-01", last="2026-06-30"):
    return {"file": file, "first": first, "last": last}


def rows(page):
    return [
        {
            name: form[name].value()
            for name in ("title", "kind", "project", "room", "starts_at", "ends_at")
        }
        for form, _ in page.context["rows"]
    ]


def typed(page, **more):
    """What the page shows, as a browser sends it back."""
    forms = page.context["forms"]
    data = {"form-TOTAL_FORMS": len(forms), "form-INITIAL_FORMS": len(forms)}
    for form in forms:
        data |= {form.add_prefix(name): form[name].value() or "" for name in form.fields}
    return data | more


def test_events_are_guessed_by_what_they_say(client_of, manager, room, project):
    """Summer time of the studio's zone, of another's by its own rules, UTC, and whole days."""
    file = calendar(
        NEW_YORK,
        event(
            "SUMMARY:Brass for the Windlass Four",
            "LOCATION:Rope floor",
            "DTSTART:20260601T110000",
            "DTEND:20260601T150000",
        ),
        event(
            "SUMMARY:Overdubs",
            "DESCRIPTION:Ninth Tide EP\\, horns",
            "STATUS:TENTATIVE",
            "DTSTART;TZID=Eastern:20260602T060000",
            "DURATION:PT4H",
            "LOCATION:Bread Room and Rope Floor",
        ),
        event("SUMMARY:Holiday", "DTSTART;VALUE=DATE:20260603", "DTEND;VALUE=DATE:20260605"),
        event(
            "SUMMARY:Birthday",
            "TRANSP:TRANSPARENT",
            "DTSTART:20260606T100000Z",
            "DTEND:20260606T110000Z",
        ),
        event(
            "SUMMARY:Gone", "STATUS:CANCELLED", "DTSTART:20260607T100000Z", "DTEND:20260607T110000Z"
        ),
    )

    found = rows(client_of(manager).post(PAGE, sent(file)))

    label = "Ninth Tide EP · Pier Records"
    assert [(row["title"], row["kind"], row["project"], row["room"]) for row in found] == [
        ("Brass for the Windlass Four", "confirmed", label, room.pk),
        ("Overdubs", "held", label, ""),
        ("Holiday", "block", "", "all"),
        ("Birthday", "nothing", "", ""),
        ("Gone", "nothing", "", ""),
    ]
    assert [(row["starts_at"], row["ends_at"]) for row in found[:3]] == [
        ("2026-06-01T10:00:00+00:00", "2026-06-01T14:00:00+00:00"),
        ("2026-06-02T10:00:00+00:00", "2026-06-02T14:00:00+00:00"),
        ("2026-06-02T23:00:00+00:00", "2026-06-04T23:00:00+00:00"),
    ]


def test_repeats_become_single_events_over_a_clock_change(client_of, manager):
    """RFC 5545, 3.8.5: a weekly event keeps its time on the clock; EXDATE leaves one out."""
    file = calendar(
        event(
            "SUMMARY:Weekly",
            "DTSTART;TZID=Europe/London:20261018T100000",
            "DTEND;TZID=Europe/London:20261018T120000",
            "RRULE:FREQ=WEEKLY;COUNT=4",
            "EXDATE;TZID=Europe/London:20261101T100000",
        )
    )

    found = rows(client_of(manager).post(PAGE, sent(file, "2026-10-01", "2026-12-31")))

    assert [row["starts_at"] for row in found] == [
        "2026-10-18T09:00:00+00:00",
        "2026-10-25T10:00:00+00:00",
        "2026-11-08T10:00:00+00:00",
    ]


def test_calendar_is_checked_with_its_clashes_and_then_booked_untold(
    client_of, manager, room, project
):
    project.client.email = "desk@pier.example"
    project.client.save()
    taken = RecordingSessionFactory(title="Strings")
    ReservationFactory(session=taken, room=room)
    file = calendar(
        event(
            "SUMMARY:Ninth Tide EP",
            "LOCATION:Rope Floor",
            "DTSTART:20260601T140000",
            "DTEND:20260601T180000",
        ),
        event("SUMMARY:Holiday", "DTSTART;VALUE=DATE:20260603"),
        event(
            "SUMMARY:Same time",
            "LOCATION:Rope Floor",
            "DTSTART:20260603T120000",
            "DTEND:20260603T130000",
        ),
    )
    web = client_of(manager)
    page = web.post(PAGE, sent(file))

    checked = web.post(PAGE, typed(page, **{"form-2-project": "Ninth Tide EP · Pier Records"}))

    reasons = [reasons for _, reasons in checked.context["rows"]]
    assert "“Strings”" in reasons[0][0]
    assert (reasons[1], len(reasons[2])) == ([], 1)
    assert "“Holiday”" in reasons[2][0]
    assert 'name="import"' not in checked.content.decode()
    assert (RecordingSession.objects.count(), Block.objects.count()) == (1, 0)

    mended = {"form-0-room": room.pk, "form-0-kind": "nothing", "form-2-kind": "nothing"}
    ready = web.post(PAGE, typed(checked, **mended))
    assert ready.context["ready"] == 1
    answer = web.post(PAGE, typed(ready, **{"import": "1"}))

    assert answer.url == reverse("bookings:list")
    block = Block.objects.get()
    assert (block.title, block.reservations.count()) == ("Holiday", 2)
    assert not Letter.objects.exists()


@pytest.mark.parametrize(("tell", "letters"), [({}, 0), ({"tell": "on"}, 1)])
def test_session_takes_what_the_calendar_says_and_is_told_only_if_asked(
    client_of, manager, room, tell, letters
):
    project = ProjectFactory(client=ClientFactory(name="Pier", email="desk@pier.example"))
    file = calendar(
        event(
            "SUMMARY:Vocals, Pier",
            "LOCATION:Rope Floor",
            "DTSTART:20260601T020000",
            "DTEND:20260601T040000",
        )
    )
    web = client_of(manager)
    checked = web.post(PAGE, typed(web.post(PAGE, sent(file))))
    assert "1 letter would be written, if that is ticked" in checked.content.decode()

    web.post(PAGE, typed(checked, **{"import": "1"}, **tell))

    session = RecordingSession.objects.get()
    assert (session.project, session.status, session.title) == (
        project,
        Status.CONFIRMED,
        "Vocals, Pier",
    )
    reservation = session.reservations.get()
    assert (reservation.room, reservation.starts_at) == (room, datetime(2026, 6, 1, 1, tzinfo=UTC))
    assert session.history.first().history_user == manager
    assert Letter.objects.count() == letters

    file.seek(0)
    again = web.post(PAGE, sent(file))
    assert "Here already" in again.content.decode()
    assert rows(again)[0]["kind"] == "nothing"


def test_what_cannot_be_is_said_beside_its_event(client_of, manager, room):
    file = calendar(event("SUMMARY:Somebody", "DTSTART:20260601T100000", "DTEND:20260601T110000"))
    web = client_of(manager)
    page = web.post(PAGE, sent(file))

    said = web.post(PAGE, typed(page, **{"form-0-project": "Nobody", "import": "1"}))

    [(form, _)] = said.context["rows"]
    assert set(form.errors) == {"room", "project"}
    assert 'value="Nobody"' in said.content.decode()
    assert not RecordingSession.objects.exists()


@pytest.mark.parametrize(("status", "reasons"), [("TENTATIVE", 1), ("CONFIRMED", 0)])
def test_hold_on_time_that_is_over_is_refused(client_of, manager, project, status, reasons):
    RoomFactory()
    file = calendar(
        event(
            "SUMMARY:Ninth Tide EP",
            f"STATUS:{status}",
            "DTSTART:20260420T100000",
            "DTEND:20260420T120000",
        )
    )
    web = client_of(manager)

    checked = web.post(PAGE, typed(web.post(PAGE, sent(file, "2026-04-01", "2026-04-30"))))

    assert [len(each) for _, each in checked.context["rows"]] == [reasons]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"tag,note\n", "no calendar file"),
        (b"\x00\xff" * 50, "no calendar file"),
    ],
)
def test_what_is_no_calendar_is_refused_beside_the_file(client_of, manager, content, said):
    file = SimpleUploadedFile("calendar.ics", content)

    page = client_of(manager).post(PAGE, sent(file))

    assert said in page.context["form"].errors["file"][0]


@pytest.mark.parametrize(
    "lines",
    [
        ["SUMMARY:Open"],
        ["SUMMARY:Open", "DTSTART:00010101T000000Z", "DTEND:20261231T000000Z"],
        ["SUMMARY:Open", "DTSTART;VALUE=DATE:20260601", "DTEND;VALUE=DATE:99991231"],
        ["SUMMARY:Open", "DTSTART:20261331T100000Z"],
        ["SUMMARY:Open", "DTSTART:20260601T100000Z", "DTSTART:20260602T100000Z"],
        ["SUMMARY:Open", "DTSTART:20200101T100000Z", "RRULE:FREQ=NEVER"],
    ],
)
def test_one_event_without_a_time_that_can_be_read_stops_no_others(client_of, manager, lines):
    """RFC 5545, 3.6.1: DTSTART is required and stands once. Years 1 and 9999 stand for “always”."""
    good = event("SUMMARY:Brass", "DTSTART:20260601T110000", "DTEND:20260601T150000")

    page = client_of(manager).post(PAGE, sent(calendar(event(*lines), good)))

    assert [row["title"] for row in rows(page)] == ["Brass"]
    assert "One event of the calendar has no time that can be read" in page.text


def test_event_without_an_end_is_left_out_and_says_why(client_of, manager):
    page = client_of(manager).post(
        PAGE, sent(calendar(event("SUMMARY:Brass", "DTSTART:20260601T110000")))
    )

    assert [row["kind"] for row in rows(page)] == ["nothing"]
    assert "The calendar gives no end: book it by hand." in page.text


@pytest.mark.parametrize("cut", ["END:VCALENDAR", "SUMMARY"])
def test_calendar_that_was_cut_off_is_not_an_empty_one(client_of, manager, cut):
    whole = calendar(event("SUMMARY:Brass", "DTSTART:20260601T110000", "DTEND:20260601T150000"))
    part = whole.read().partition(cut.encode())[0]

    page = client_of(manager).post(PAGE, sent(SimpleUploadedFile("calendar.ics", part)))

    assert "only a part of one" in page.text


def test_calendar_that_never_ends_is_cut_off(client_of, manager):
    file = calendar(
        event(
            "SUMMARY:Often",
            "DTSTART:20260601T000000Z",
            "DTEND:20260601T000100Z",
            "RRULE:FREQ=MINUTELY;INTERVAL=15",
        )
    )

    page = client_of(manager).post(PAGE, sent(file, "2026-06-01", "2026-06-02"))

    assert len(page.context["rows"]) == MOST_EVENTS
    assert page.context["more"] > 50
    assert "has more events" in page.content.decode()


def test_calendar_made_to_hang_is_refused(client_of, manager, monkeypatch):
    monkeypatch.setattr("sessions.desk.calendar_import.child.CPU_SECONDS", 1)
    file = calendar(event("SUMMARY:Ever", "DTSTART:20000101T000000Z", "RRULE:FREQ=SECONDLY"))

    page = client_of(manager).post(PAGE, sent(file))

    assert "repeats without end" in page.context["form"].errors["file"][0]


def test_page_takes_the_same_queries_for_one_event_and_for_three(
    client_of, manager, room, django_assert_num_queries
):
    web = client_of(manager)
    for count in (1, 3):
        file = calendar(
            *[
                event(f"SUMMARY:E{day}", f"DTSTART:2026060{day}T100000", "DURATION:PT1H")
                for day in range(1, count + 1)
            ]
        )
        with django_assert_num_queries(13):
            web.post(PAGE, sent(file))


def test_only_a_manager_imports(client_of, engineer):
    assert client_of(engineer).get(PAGE).status_code == 403
