import pytest

from sessions.bookings.actions import book_session
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Series, Status
from sessions.bookings.padding import Padding
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.rules import Rule
from tests.factories import PersonFactory, ProjectFactory, RoomFactory, UnitFactory
from tests.sessions.bookings.days import hours

pytestmark = pytest.mark.django_db

RULE = Rule.parse("FREQ=WEEKLY;COUNT=4")
DATES = ["2026-06-08T11:00", "2026-06-15T11:00", "2026-06-22T11:00"]


@pytest.fixture(autouse=True)
def _in_spring(time_machine):
    time_machine.move_to(hours(-1000, 0)[0])


@pytest.fixture
def session(manager):
    """Mondays from 11:00 to 15:00 by the studio's clock, with half an hour of load-in."""
    starts_at, ends_at = hours(10, 14)
    room = RoomFactory()
    return book_session(
        ProjectFactory(),
        title="Brass",
        starts_at=starts_at,
        ends_at=ends_at,
        status=Status.CONFIRMED,
        rooms=[room],
        people=[PersonFactory(bookable=True)],
        units=[UnitFactory()],
        padding={room: Padding(30, 0)},
        note="Mutes",
        left_to_do="Second verse",
        by=manager,
    )


def in_the_way(session, manager, days):
    """Another session in the same room, so many days later."""
    return book_session(
        ProjectFactory(),
        title="In the way",
        starts_at=hours(24 * days + 10, 0)[0],
        ends_at=hours(0, 24 * days + 12)[1],
        status=Status.CONFIRMED,
        rooms=[each.room for each in session.reservations.all() if each.room],
        by=manager,
    )


def test_book_series_books_the_chosen_dates_with_all_that_the_session_takes(session, manager):
    session.discount_percent = 10
    session.save()

    series = book_series(
        session, rule=RULE, chosen=[DATES[0], DATES[2]], status=Status.HELD, by=manager
    )

    first, *repeated = series.sessions.all()
    assert first == session
    assert [each.period_in_words for each in repeated] == [
        "Mon 8 Jun 2026, 11:00 to 15:00",
        "Mon 22 Jun 2026, 11:00 to 15:00",
    ]
    assert (series.rule, series.made_by) == ("FREQ=WEEKLY;COUNT=4", manager)
    for each in repeated:
        assert (each.title, each.note, each.left_to_do) == ("Brass", "Mutes", "")
        assert (each.project, each.status, each.discount_percent) == (session.project, "held", 10)
        assert {
            (row.resource, row.rank, row.before_minutes) for row in each.reservations.all()
        } == {(row.resource, 1, row.before_minutes) for row in session.reservations.all()}
        assert each.history.first().history_user == manager


def test_book_series_books_all_or_none(session, manager):
    in_the_way(session, manager, days=14)

    with pytest.raises(BookingRefused) as refused:
        book_series(session, rule=RULE, chosen=DATES, status=Status.HELD, by=manager)

    assert refused.value.messages[0].startswith("1 of the 3 ticked dates cannot be booked, so")
    assert RecordingSession.objects.count() == 2
    assert not Series.objects.exists()
    book_series(session, rule=RULE, chosen=DATES[:1] + DATES[2:], status=Status.HELD, by=manager)


def test_book_series_queues_behind_what_is_taken(session, manager):
    in_the_way(session, manager, days=14)

    series = book_series(
        session, rule=RULE, chosen=DATES, status=Status.HELD, queue_behind=True, by=manager
    )

    assert [each.standing for each in series.sessions.all()] == [
        "confirmed",
        "first hold",
        "second hold",
        "first hold",
    ]


@pytest.mark.parametrize("chosen", [[], ["2026-06-09T11:00"], [DATES[0], "2026-06-01T11:00"]])
def test_book_series_takes_only_dates_of_the_rule(session, manager, chosen):
    with pytest.raises(BookingRefused):
        book_series(session, rule=RULE, chosen=chosen, status=Status.HELD, by=manager)

    assert RecordingSession.objects.get() == session


def test_session_is_of_one_series(session, manager):
    book_series(session, rule=RULE, chosen=DATES, status=Status.HELD, by=manager)

    with pytest.raises(BookingRefused):
        book_series(session, rule=RULE, chosen=DATES, status=Status.ENQUIRY, by=manager)


def test_what_went_out_of_service_since_is_refused_and_nothing_is_booked(session, manager):
    session.reservations.filter(unit__isnull=False).get().unit.model.units.update(state="retired")

    with pytest.raises(BookingRefused) as refused:
        book_series(session, rule=RULE, chosen=DATES, status=Status.HELD, by=manager)

    assert "is retired" in refused.value.messages[0]
    assert not Series.objects.exists()
