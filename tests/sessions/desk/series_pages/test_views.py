"""The page of a series, and what is done to the rest of it: shown first, then all or nothing."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.dates import dates_by_rule
from sessions.bookings.series.rules import Rule
from sessions.letters.models import Letter, LetterState
from tests.factories import (
    CancellationStepFactory,
    RateFactory,
    RecordingSessionFactory,
    RoomFactory,
    SeriesFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_spring(time_machine):
    time_machine.move_to(hours(-1000, 0)[0])


@pytest.fixture
def bread_room():
    return RoomFactory(name="Bread Room")


@pytest.fixture
def series(manager, bread_room):
    """Three held Mondays from 11:00 to 15:00."""
    return weekly(booked(manager, rooms=[bread_room]), 3, manager)


def weekly(first, count, by):
    rule = Rule("WEEKLY", count=count)
    dates = [date.key for date in dates_by_rule(first, rule, [])]
    return book_series(first, rule=rule, chosen=dates, status=first.status, by=by)


@pytest.fixture
def page(client_of, manager, series):
    return lambda asked: client_of(manager).get(address(series, asked))


@pytest.fixture
def post(client_of, manager, series):
    return lambda asked, **data: client_of(manager).post(address(series, asked), data)


def address(series, asked):
    return f"{reverse('series:rest', args=[series.pk])}?{asked}"


def keys(series):
    return [f"{each.pk}.{each.version}" for each in series.sessions.all()]


def test_series_shows_only_sessions_that_one_may_see(client_of, mix_engineer, mixed_project):
    series = SeriesFactory()
    theirs = RecordingSessionFactory(series=series, project=mixed_project, title="Theirs")
    RecordingSessionFactory(series=series, title="Hidden")

    page = client_of(mix_engineer).get(reverse("series:detail", args=[series.pk]))

    assert list(page.context["table"].data) == [theirs]
    assert "Every week, 4 times" in page.text
    assert "Hidden" not in page.text


@pytest.mark.parametrize("number", [1, 3])
def test_series_page_costs_the_same_for_one_session_and_for_three(client_of, manager, number):
    series = SeriesFactory()
    for _ in range(number):
        booked(manager)
    RecordingSession.objects.update(series=series)
    client = client_of(manager)

    with CaptureQueriesContext(connection) as queries:
        page = client.get(reverse("series:detail", args=[series.pk]))

    assert len(page.context["table"].rows) == number
    assert len(queries) == 7


def test_series_page_leads_to_what_can_be_done_with_the_rest(client_of, manager, series):
    page = client_of(manager).get(series.get_absolute_url())

    assert [str(verb) for verb in page.context["verbs"]] == ["confirm", "move", "release", "cancel"]
    assert f"{reverse('series:rest', args=[series.pk])}?do=cancel" in page.text


def test_series_page_of_an_engineer_has_no_such_buttons(client_of, engineer, series):
    page = client_of(engineer).get(series.get_absolute_url())

    assert reverse("series:rest", args=[series.pk]) not in page.text


def test_rest_begins_with_the_next_date_and_shows_all_of_them(page):
    shown = page("do=confirm")

    assert shown.context["form"]["since"].value() == "2026-06-01"
    assert [(str(row.session.period_in_words), row.ticked) for row in shown.context["rows"]] == [
        ("Mon 1 Jun 2026, 11:00 to 15:00", True),
        ("Mon 8 Jun 2026, 11:00 to 15:00", True),
        ("Mon 15 Jun 2026, 11:00 to 15:00", True),
    ]
    assert "Confirm the ticked dates" in shown.text


def test_rest_begins_on_the_day_that_is_asked(page):
    rows = page("do=release&since=2026-06-09").context["rows"]

    assert [row.session.period_in_words for row in rows] == ["Mon 15 Jun 2026, 11:00 to 15:00"]


def test_move_is_asked_for_first_and_then_shown_with_every_conflict(page, manager, bread_room):
    other = booked(manager, start=24 * 8 + 12, end=24 * 8 + 16, rooms=[bread_room])

    assert page("do=move").context["rows"] == []
    shown = page("do=move&since=2026-06-01&days=1&direction=later")

    rows = shown.context["rows"]
    assert [row.date.period_in_words for row in rows] == [
        "Tue 2 Jun 2026, 11:00 to 15:00",
        "Tue 9 Jun 2026, 11:00 to 15:00",
        "Tue 16 Jun 2026, 11:00 to 15:00",
    ]
    assert f"Bread Room is taken by “{other}”" in rows[1].date.in_the_way[0]
    assert "Bread Room is taken by" in shown.text
    assert "1 day later" in shown.text


@pytest.mark.parametrize(
    ("field", "asked", "sentence"),
    [
        ("__all__", "days=&hours=&weekday=&starts=", "Enter by how many days or hours"),
        ("__all__", "days=1&starts=10:00", "Enter either days and hours, or"),
        ("days", "days=-1", "Enter a whole number from 0 to 366."),
        ("hours", "days=&hours=0.1", "Enter hours in quarters"),
        ("hours", "days=&hours=25", "Enter hours in quarters"),
        ("weekday", "days=&weekday=7", "Select a valid choice."),
        ("starts", "days=&starts=noon", "Enter a valid time."),
        ("since", "days=1&since=soon", "Enter a valid date."),
        ("direction", "days=1&direction=sideways", "Select a valid choice."),
    ],
)
def test_what_is_wrong_stands_beside_the_field(page, field, asked, sentence):
    shown = page(f"do=move&{asked}")

    errors = shown.context["form"].errors
    assert list(errors) == [field]
    assert errors[field][0].startswith(sentence)
    assert shown.context["rows"] == []


def test_ticked_dates_are_moved_and_the_series_is_shown(post, series):
    answer = post("do=move&days=&weekday=3&starts=18:30", dates=keys(series)[1:])

    assert answer.url == series.get_absolute_url()
    assert [each.period_in_words for each in series.sessions.all()] == [
        "Mon 1 Jun 2026, 11:00 to 15:00",
        "Thu 11 Jun 2026, 18:30 to 22:30",
        "Thu 18 Jun 2026, 18:30 to 22:30",
    ]


def test_refusal_keeps_ticks_and_says_what_is_in_the_way(post, series, manager, bread_room):
    booked(manager, start=24 * 8 + 12, end=24 * 8 + 16, rooms=[bread_room])

    shown = post("do=move&days=1", dates=keys(series)[:2])

    assert [row.ticked for row in shown.context["rows"]] == [True, True, False]
    assert shown.context["refusals"][0].startswith("1 of the 2 ticked dates cannot be changed so")
    assert shown.context["rows"][1].date.in_the_way
    assert series.sessions.first().period_in_words == "Mon 1 Jun 2026, 11:00 to 15:00"


def test_change_by_somebody_else_is_shown_before_anything_is_saved(post, series):
    seen = keys(series)
    RecordingSession.objects.filter(pk=series.sessions.first().pk).update(
        status=Status.CONFIRMED, version=7
    )

    shown = post("do=cancel", dates=seen)

    assert "changed some of these dates meanwhile" in shown.context["refusals"][0]
    assert not series.sessions.filter(status=Status.CANCELLED).exists()


def test_page_says_first_who_is_told_and_nothing_typed_is_lost(post, series):
    client = series.sessions.first().project.client
    client.email = "vestry@ford.example"
    client.save()
    asked = "do=move&since=2026-06-01&days=1"

    page = post(asked, dates=keys(series)[1:])

    assert "Who is told" in page.text
    assert [(line.notice.reader.address) for line in page.context["lines"]] == [
        "vestry@ford.example"
    ]
    assert ("dates", keys(series)[1]) in page.context["typed"]
    back = post(asked, dates=keys(series)[1:], told="back")
    assert [row.ticked for row in back.context["rows"]] == [False, True, True]
    assert back.context["refusals"] == []
    assert series.sessions.last().period_in_words == "Mon 15 Jun 2026, 11:00 to 15:00"

    post(asked, dates=keys(series)[1:], told="send", told_to="vestry@ford.example")

    assert series.sessions.last().period_in_words == "Tue 16 Jun 2026, 11:00 to 15:00"
    [letter] = Letter.objects.filter(state=LetterState.WAITING)
    assert letter.to == "vestry@ford.example"
    assert "Tue 9 Jun 2026" in letter.text
    assert "Tue 16 Jun 2026" in letter.text


@pytest.mark.parametrize("dates", [[], ["x"], ["7"], ["-1.1"], ["9" * 30 + ".1"]])
def test_nothing_that_can_be_changed_is_refused(post, dates):
    assert post("do=confirm", dates=dates).context["refusals"]


def test_dates_that_the_step_is_nothing_for_stay_and_say_so(page, series, client_of, manager):
    series.sessions.filter(pk=series.sessions.first().pk).update(status=Status.CONFIRMED)

    rows = page("do=release").context["rows"]

    assert [row.date is None for row in rows] == [True, False, False]


def test_unknown_word_leads_back_to_the_series(page, series):
    for asked in ("", "do=wrap"):
        assert page(asked).url == series.get_absolute_url()


@pytest.fixture
def charged(manager, bread_room):
    """Four hours at 45.00 and 20 % tax, of which half is charged at any notice. The first is held."""
    series = weekly(booked(manager, rooms=[bread_room], status=Status.CONFIRMED), 3, manager)
    card = RateFactory(room=bread_room).card
    terms = CancellationStepFactory(notice_below=None).terms
    series.sessions.update(rate_card=card, cancellation_terms=terms)
    series.sessions.filter(pk=series.sessions.first().pk).update(status=Status.HELD)
    return series


def test_cancelling_says_what_each_date_costs_and_all_together(client_of, manager, charged):
    shown = client_of(manager).get(address(charged, "do=cancel"))

    assert [row.charge.partition(":")[0] for row in shown.context["rows"]] == [
        "Free",
        "108.00 GBP",
        "108.00 GBP",
    ]
    assert shown.context["charges"] == ["216.00 GBP"]
    assert "216.00 GBP" in shown.text


def test_cancelling_without_terms_says_so(client_of, manager, charged):
    charged.sessions.update(cancellation_terms=None)

    rows = client_of(manager).get(address(charged, "do=cancel")).context["rows"]

    assert rows[1].charge == "No cancellation terms are chosen: agree the charge with the client."


@pytest.mark.parametrize("asked", ["do=cancel", "do=move&days=1"])
def test_rest_costs_the_same_for_one_date_and_for_three(client_of, manager, charged, asked):
    client = client_of(manager)
    counts = set()
    for since in ("2026-06-01", "2026-06-15"):
        with CaptureQueriesContext(connection) as queries:
            page = client.get(address(charged, f"{asked}&since={since}"))
        assert page.context["rows"]
        counts.add(len(queries))

    assert len(counts) == 1
