"""The list of sessions as CSV, read back by Python's own reader (RFC 4180)."""

import csv
import io
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from gear import list_pages
from gear.comma_separated import as_text
from sessions.bookings.models import Status
from sessions.bookings.session_csv import COLUMNS
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def rows_of(answer) -> list[dict]:
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def listed(web, **asked) -> list[dict]:
    return rows_of(web.get(reverse("bookings:list"), {"csv": "1", "when": "", **asked}))


def test_row_tells_the_whole_session(client_of, engineer):
    project = ProjectFactory(
        name="Fanfares", artist="Three Bells", client=ClientFactory(name="Pier Records")
    )
    session = RecordingSessionFactory(project=project, title="Brass", status=Status.HELD)
    first, second = RoomFactory(name="Rope Floor"), RoomFactory(name="Bread Room")
    ReservationFactory(session=session, room=first)
    ReservationFactory(session=session, room=second, rank=2)
    ReservationFactory(session=session, room=None, person=PersonFactory(name="Piran Tolle"))
    unit = UnitFactory(asset_tag="QS-9")
    ReservationFactory(session=session, room=None, unit=unit)

    [row] = listed(client_of(engineer))

    assert row == {
        "starts": "2026-06-01 11:00",
        "ends": "2026-06-01 15:00",
        "hours": "4.00",
        "session": "Brass",
        "project": "Fanfares",
        "artist": "Three Bells",
        "client": "Pier Records",
        "status": "held",
        "hold": "second hold",
        "lockout": "no",
        "rooms": "Bread Room; Rope Floor",
        "people": "Piran Tolle",
        "gear": str(unit),
        "note": "",
    }


@pytest.mark.parametrize(
    "text",
    [
        'Verses, "spoken"; twice',
        "Two\nlines and a third\r\nof them",
        "Fiddle 🎻 & concertina – Ærø",
        "a, b; c",
    ],
)
def test_text_survives(client_of, engineer, text):
    RecordingSessionFactory(title="Any", note=text)

    [row] = listed(client_of(engineer))

    assert row["note"] == text


@pytest.mark.parametrize("text", ["=1+1", "+44 20", "-2", "@SUM(A1)", "\t=1+1", "\r=1+1", "\n=1+1"])
def test_no_cell_is_a_formula(client_of, engineer, text):
    """Signs from the Open Worldwide Application Security Project's page on CSV injection."""
    RecordingSessionFactory(title="Any", note=text)

    [row] = listed(client_of(engineer))

    assert row["note"] == f"'{text}"
    assert as_text("plain = text") == "plain = text"


@pytest.mark.parametrize(
    ("start", "hours"),
    [
        # Europe/London, 22:00 to 10:00: 11 hours over 29 March 2026, 13 over 25 October 2026.
        (datetime(2026, 3, 28, 22, tzinfo=UTC), 11),
        (datetime(2026, 10, 24, 21, tzinfo=UTC), 13),
    ],
)
def test_hours_are_those_that_pass(client_of, engineer, start, hours):
    RecordingSessionFactory(starts_at=start, ends_at=start + timedelta(hours=hours))

    [row] = listed(client_of(engineer))

    assert row["hours"] == f"{hours}.00"
    assert (row["starts"][11:16], row["ends"][11:16]) == ("22:00", "10:00")


def test_file_holds_what_the_list_shows_in_its_order_and_past_its_first_page(client_of, engineer):
    for number in range(35):
        RecordingSessionFactory(
            title=f"Wanted {number:02}",
            starts_at=datetime(2026, 6, 1, number % 24, tzinfo=UTC),
        )
    RecordingSessionFactory(title="Other")
    web = client_of(engineer)

    found = [row["session"] for row in listed(web, q="wanted", sort="-title", page=2)]

    assert found == [f"Wanted {number:02}" for number in reversed(range(35))]


def test_list_offers_the_file_of_what_it_shows(client_of, engineer):
    page = client_of(engineer).get(
        reverse("bookings:list"), {"when": "past", "q": "brass", "sort": "title", "page": "1"}
    )

    assert 'href="?when=past&amp;q=brass&amp;sort=title&amp;csv=1"' in page.text


def test_mix_engineer_gets_only_their_own(client_of, mix_engineer, mixed_project):
    RecordingSessionFactory(title="Secret session")
    RecordingSessionFactory(title="Mine", project=mixed_project)

    assert [row["session"] for row in listed(client_of(mix_engineer))] == ["Mine"]


def test_nothing_found_is_a_head_alone(client_of, engineer):
    answer = client_of(engineer).get(reverse("bookings:list"), {"csv": "1", "q": "nothing like it"})

    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    assert text == ",".join(COLUMNS) + "\r\n"
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"].startswith('attachment; filename="sessions-')


@pytest.mark.parametrize(("count", "queries"), [(1, 2), (3, 2), (5, 3)])
def test_file_is_read_in_stretches(
    client_of, engineer, monkeypatch, count, queries, django_assert_num_queries
):
    """One query, and one more for each stretch of four: never more than those in memory."""
    monkeypatch.setattr(list_pages, "AT_ONCE", 4)
    for _ in range(count):
        ReservationFactory()
    answer = client_of(engineer).get(reverse("bookings:list"), {"csv": "1", "when": ""})

    with django_assert_num_queries(queries):
        lines = rows_of(answer)

    assert len(lines) == count
