"""Repeat a session: the dates on view first, then all of them or none."""

import pytest
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Series
from tests.factories import RecordingSessionFactory, RoomFactory, SeriesFactory
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db

DATES = ["2026-06-08T11:00", "2026-06-15T11:00"]


@pytest.fixture(autouse=True)
def _in_spring(time_machine):
    time_machine.move_to(hours(-1000, 0)[0])


@pytest.fixture
def session(manager):
    return booked(manager, rooms=[RoomFactory(name="Bread Room")])


@pytest.fixture
def typed():
    return {"frequency": "WEEKLY", "interval": "1", "count": "3", "status": "held"}


@pytest.fixture
def post(client_of, manager, session):
    return lambda data: client_of(manager).post(reverse("series:repeat", args=[session.pk]), data)


def test_repeat_opens_with_the_status_of_the_session(client_of, manager, session):
    page = client_of(manager).get(reverse("series:repeat", args=[session.pk]))

    assert page.context["form"]["status"].value() == "held"
    assert page.context["rows"] == []


def test_dates_are_shown_with_every_clash_before_anything_is_saved(post, typed, manager, session):
    in_the_way = booked(
        manager, start=24 * 7 + 12, end=24 * 7 + 16, rooms=[session.reservations.get().room]
    )

    page = post(typed)

    assert [(str(row["date"]), row["ticked"]) for row in page.context["rows"]] == [
        ("Mon 8 Jun 2026, 11:00 to 15:00", True),
        ("Mon 15 Jun 2026, 11:00 to 15:00", True),
    ]
    assert f"Bread Room is taken by “{in_the_way}”" in page.context["rows"][0]["in_the_way"][0]
    assert "Bread Room is taken by" in page.text
    assert "Every week, 3 times" in page.text
    assert RecordingSession.objects.count() == 2
    assert not Series.objects.exists()


def test_ticked_dates_are_booked(post, typed, session):
    shown = {"shown": "FREQ=WEEKLY;COUNT=3", "book": "1"}

    response = post(typed | shown | {"dates": DATES[1:]})

    series = Series.objects.get()
    assert response.url == reverse("series:detail", args=[series.pk])
    assert [each.period_in_words for each in series.sessions.all()] == [
        session.period_in_words,
        "Mon 15 Jun 2026, 11:00 to 15:00",
    ]


def test_refused_booking_keeps_ticks_and_says_what_is_in_the_way(post, typed, manager, session):
    booked(manager, start=24 * 14 + 10, end=24 * 14 + 12, rooms=[session.reservations.get().room])

    page = post(typed | {"shown": "FREQ=WEEKLY;COUNT=3", "book": "1", "dates": DATES[1:]})

    assert [row["ticked"] for row in page.context["rows"]] == [False, True]
    assert page.context["refusals"][0].startswith("1 of the 1 ticked dates cannot be booked, so")
    assert page.context["form"]["count"].value() == "3"
    assert not Series.objects.exists()


def test_rule_changed_since_its_dates_were_shown_is_shown_first(post, typed):
    page = post(typed | {"count": "4", "shown": "FREQ=WEEKLY;COUNT=3", "book": "1", "dates": DATES})

    assert "Check the new dates first." in page.context["refusals"][0]
    assert [row["ticked"] for row in page.context["rows"]] == [True] * 3
    assert not Series.objects.exists()


def test_rule_as_text_counts_instead_of_the_fields(post, typed):
    page = post(typed | {"count": "", "rule": "FREQ=WEEKLY;INTERVAL=2;COUNT=3;BYDAY=MO,WE"})

    assert [row["date"].key for row in page.context["rows"]] == [
        "2026-06-03T11:00",
        "2026-06-15T11:00",
    ]


@pytest.mark.parametrize(
    ("field", "changes", "sentence"),
    [
        ("count", {"count": ""}, "Enter either the number of sessions or the last day"),
        ("count", {"until": "2026-07-01"}, "Enter either the number of sessions or the last day"),
        ("count", {"count": "61"}, "Enter a whole number from 2 to 60."),
        ("count", {"count": "many"}, "Enter a whole number from 2 to 60."),
        ("count", {"interval": "99"}, "The last would be after"),
        ("interval", {"interval": "0"}, "Enter a whole number from 1 to 99."),
        ("until", {"count": "", "until": "soon"}, "Enter a valid date."),
        ("until", {"count": "", "until": "2066-06-01"}, "A series is two years long at most"),
        ("until", {"count": "", "until": "2026-06-02"}, "There is no second session by then."),
        ("until", {"count": "", "until": "2020-06-02"}, "There is no second session by then."),
        ("days", {"days": ["WE"]}, "The session itself is on Mon 1 Jun 2026"),
        ("days", {"days": ["XX"]}, "Select a valid choice."),
        ("frequency", {"frequency": "YEARLY"}, "Select a valid choice."),
        ("status", {"status": "wrapped"}, "Select a valid choice."),
        ("rule", {"rule": "every other Tuesday"}, "“EVERY OTHER TUESDAY” is not part of a rule."),
        ("rule", {"rule": "FREQ=WEEKLY"}, "Enter either the number of sessions or the last day"),
    ],
)
def test_what_is_wrong_stands_beside_the_field(post, typed, field, changes, sentence):
    page = post(typed | changes)

    form = page.context["form"]
    assert list(form.errors) == [field]
    assert form.errors[field][0].startswith(sentence)
    assert {name: form[name].value() for name in typed | changes} == typed | changes
    assert page.context["rows"] == []


def test_session_of_a_series_leads_to_it(client_of, manager):
    session = RecordingSessionFactory(series=SeriesFactory())

    response = client_of(manager).get(reverse("series:repeat", args=[session.pk]))

    assert response.url == reverse("series:detail", args=[session.series_id])
    assert response.url in client_of(manager).get(session.get_absolute_url()).text
