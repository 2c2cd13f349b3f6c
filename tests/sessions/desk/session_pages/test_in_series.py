"""A session of a series on its own pages: its place, its neighbours, and the way to the rest."""

import pytest
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Status
from sessions.desk.session_pages.in_series import place_in_series
from tests.factories import RecordingSessionFactory, SeriesFactory
from tests.sessions.bookings.days import hours

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_spring(time_machine):
    time_machine.move_to(hours(-1000, 0)[0])


@pytest.fixture
def dates():
    """Four held Mondays, of which the second is cancelled."""
    series = SeriesFactory()
    dates = [
        RecordingSessionFactory(
            series=series, starts_at=hours(24 * 7 * week + 10, 0)[0], status=Status.HELD
        )
        for week in range(4)
    ]
    dates[1].status = Status.CANCELLED
    dates[1].save()
    return dates


def place_of(session):
    return place_in_series(session, among=RecordingSession.objects.all())


def test_place_is_counted_without_what_was_cancelled(dates):
    first, cancelled, third, last = map(place_of, dates)

    assert [(each.number, each.count) for each in (first, cancelled, third, last)] == [
        (1, 3),
        (None, 3),
        (2, 3),
        (3, 3),
    ]
    assert (first.before, first.after) == (None, dates[2])
    assert (cancelled.before, cancelled.after) == (dates[0], dates[2])
    assert (third.before, third.after) == (dates[0], dates[3])
    assert list(map(str, first.verbs)) == ["confirm", "move", "release", "cancel"]
    assert cancelled.verbs == []
    assert place_of(RecordingSessionFactory()) is None


def test_nothing_is_offered_once_the_date_is_over(dates, time_machine):
    time_machine.move_to(dates[0].ends_at)

    assert place_of(dates[0]).verbs == []
    assert place_of(dates[2]).verbs


def test_pages_of_the_session_lead_to_the_rest(client_of, manager, dates):
    client, third = client_of(manager), dates[2]
    rest = f"{reverse('series:rest', args=[third.series_id])}?do="

    shown = client.get(third.get_absolute_url()).text
    assert "2 of 3 in a series" in shown
    assert f"{rest}cancel&amp;since=2026-06-15" in shown
    assert dates[0].get_absolute_url() in shown
    assert (
        f"{rest}move&amp;since=2026-06-15"
        in client.get(reverse("bookings:edit", args=[third.pk])).text
    )
    asked = client.get(reverse("bookings:status", args=[third.pk]) + "?to=enquiry").text
    assert f"{rest}release&amp;since=2026-06-15" in asked


def test_session_of_no_series_offers_none_of_it(client_of, manager):
    session = RecordingSessionFactory(status=Status.HELD)
    client = client_of(manager)

    for address in (
        session.get_absolute_url(),
        reverse("bookings:edit", args=[session.pk]),
        reverse("bookings:status", args=[session.pk]) + "?to=cancelled",
    ):
        page = client.get(address)
        assert page.status_code == 200
        assert "in a series" not in page.text
        assert "its series" not in page.text
