"""Weekly hours over real days, Europe/London, against a clock that is read minute by minute.

The lengths over 29 March and 25 October 2026 follow from the tz database, region Europe/London
(rule EU: last Sunday of March and October, 01:00 UTC).
"""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.bookings.outside_hours import OutsideHoursError, outside_hours, refuse_outside_hours
from sessions.rooms.hours import joined, left_over, open_periods, week_in_words
from sessions.rooms.models import Weekday, WeeklyHours
from tests.factories import PersonFactory, RoomFactory, UnitFactory, WeeklyHoursFactory

LONDON = ZoneInfo("Europe/London")
MONDAY = datetime(2026, 6, 1, tzinfo=LONDON)
MINUTE = timedelta(minutes=1)


def london(day, hour, minute=0, month=6):
    return datetime(2026, month, day, hour, minute, tzinfo=LONDON)


def row(weekday, opens, closes):
    return WeeklyHours(weekday=weekday, opens=time(*opens), closes=time(*closes))


def test_open_periods_closing_after_midnight_runs_into_the_next_day():
    friday_night = [row(Weekday.FRIDAY, (18,), (2,))]

    assert open_periods(friday_night, london(5, 12), london(6, 12)) == [
        (london(5, 18), london(6, 2))
    ]
    assert open_periods(friday_night, london(6, 0), london(6, 1)) == [(london(6, 0), london(6, 1))]
    assert open_periods(friday_night, london(6, 2), london(6, 12)) == []


def test_open_periods_of_neighbouring_nights_are_one_where_they_touch():
    all_day = [row(day, (0,), (0,)) for day in Weekday]

    assert open_periods(all_day, london(1, 9), london(4, 9)) == [(london(1, 9), london(4, 9))]


@pytest.mark.parametrize(("month", "day", "hours"), [(3, 28, 7), (10, 24, 9), (6, 6, 8)])
def test_open_periods_follow_the_studios_clock_over_a_change(month, day, hours):
    """22:00 to 06:00 of a Saturday night."""
    night = [row(Weekday.SATURDAY, (22,), (6,))]
    noon = datetime(2026, month, day, 12, tzinfo=LONDON)

    [(start, end)] = open_periods(night, noon, noon + timedelta(days=1))

    assert end.astimezone(UTC) - start.astimezone(UTC) == timedelta(hours=hours)


times = st.tuples(st.integers(0, 23), st.sampled_from([0, 15, 30, 45]))
weeks = st.lists(st.builds(row, st.sampled_from(list(Weekday)), times, times), max_size=8)
# Weeks of both clock changes, and one without.
starts = st.sampled_from([london(1, 0), london(27, 0, month=3), london(23, 0, month=10)])


@given(weeks, starts, st.integers(0, 3000), st.integers(1, 2000))
def test_open_periods_agree_with_a_clock_read_minute_by_minute(week, monday, offset, length):
    """Times within a change are left out: an hour that comes twice has no single reading."""
    start = monday.astimezone(UTC) + offset * MINUTE
    end = start + length * MINUTE

    periods = open_periods(week, start, end)

    for number in range(0, length, 5):
        moment = start + number * MINUTE
        face = moment.astimezone(LONDON)
        if face.hour in (1, 2) and face.date().isoformat() in ("2026-03-29", "2026-10-25"):
            continue
        assert any(a <= moment < b for a, b in periods) == is_open_by_the_clock(week, face)
    assert periods == joined(periods)
    assert all(start <= a < b <= end for a, b in periods)


def is_open_by_the_clock(week, face):
    """Whether some row's hand-to-hand stretch covers the reading: today's, or last night's."""
    now, today = face.time().replace(tzinfo=None), face.weekday()
    for each in week:
        over_midnight = each.closes <= each.opens
        if each.weekday == today and each.opens <= now and (over_midnight or now < each.closes):
            return True
        if over_midnight and each.weekday == (today - 1) % 7 and now < each.closes:
            return True
    return False


@given(st.lists(st.tuples(st.integers(0, 50), st.integers(1, 20)), max_size=6), st.integers(1, 60))
def test_left_over_is_what_no_period_covers(stretches, length):
    at = [MONDAY + number * MINUTE for number in range(120)]
    covered = joined([(at[a], at[a + size]) for a, size in stretches])

    parts = left_over((at[0], at[length]), covered)

    left = {n for n in range(length) if not any(a <= at[n] < b for a, b in covered)}
    assert {n for n in range(120) for a, b in parts if a <= at[n] < b} == left
    assert parts == joined(parts)


@pytest.mark.django_db
def test_outside_hours_names_the_part_outside_and_the_hours_of_that_day():
    room = WeeklyHoursFactory(room__name="Bread Room").room

    outside = outside_hours({room: [(london(1, 9), london(1, 23))]})

    assert [str(each) for each in outside] == [
        "Bread Room is closed: Mon 1 Jun 2026, 09:00 to 10:00 (Monday 10:00 to 22:00).",
        "Bread Room is closed: Mon 1 Jun 2026, 22:00 to 23:00 (Monday 10:00 to 22:00).",
    ]


@pytest.mark.django_db
def test_outside_hours_of_a_day_off():
    person = PersonFactory(name="Ulric Yarrell")
    WeeklyHoursFactory(room=None, person=person)

    [outside] = outside_hours({person: [(london(2, 10), london(2, 12))]})

    assert str(outside) == (
        "Ulric Yarrell is off: Tue 2 Jun 2026, 10:00 to 12:00 (not on Tuesday)."
    )


@pytest.mark.django_db
def test_outside_hours_leaves_out_what_has_none(django_assert_num_queries):
    wanted = [RoomFactory(), PersonFactory(), UnitFactory()]

    with django_assert_num_queries(1):
        assert outside_hours({each: [(london(1, 3), london(1, 4))] for each in wanted}) == []
    with django_assert_num_queries(0):
        assert outside_hours({wanted[2]: [(london(1, 3), london(1, 4))]}) == []


@pytest.mark.django_db
def test_refuse_outside_hours_stands_beside_what_is_closed():
    room, person = WeeklyHoursFactory().room, PersonFactory()
    WeeklyHoursFactory(room=None, person=person)
    night = [(london(1, 22), london(1, 23))]

    with pytest.raises(OutsideHoursError) as refused:
        refuse_outside_hours({room: night, person: night})
    refuse_outside_hours({room: [(london(1, 10), london(1, 22))]})

    assert {field: len(said) for field, said in refused.value.message_dict.items()} == {
        "rooms": 1,
        "people": 1,
    }
    assert "Tick “Book anyway”" in refused.value.message_dict["rooms"][0]


def test_week_in_words_puts_days_alike_together():
    week = [row(day, (10,), (22,)) for day in (0, 1, 2, 4)]
    week += [row(5, (12,), (15,)), row(5, (16,), (2,))]

    assert week_in_words(week) == [
        "Monday to Wednesday 10:00 to 22:00",
        "Friday 10:00 to 22:00",
        "Saturday 12:00 to 15:00, 16:00 to 02:00",
    ]
    assert week_in_words([]) == []
