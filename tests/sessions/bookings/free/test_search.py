"""The search for free time, against a model that looks at every minute."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sessions.bookings.actions import book_session
from sessions.bookings.free.search import common, earliest, find_free_time, free_times, latest
from sessions.bookings.models import Block, Reservation, Status
from sessions.bookings.padding import Padding
from sessions.rooms.models import WeeklyHours
from tests.factories import (
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
)
from tests.sessions.bookings.days import HOUR, booked, hours

MINUTE = timedelta(minutes=1)
LONDON = ZoneInfo("Europe/London")
MIDNIGHT = datetime(2026, 6, 1, tzinfo=UTC)
DAY = 24 * 60


# The arithmetic, minute by minute


def minutes(periods):
    return {minute for start, end in periods for minute in range(start, end)}


def apart(numbers):
    """Periods from the edges of which each second one is an end: in order, none touching."""
    edges = sorted(numbers)
    return list(zip(edges[::2], edges[1::2], strict=False))


edges = st.sets(st.integers(0, DAY), max_size=12).map(apart)


@given(edges, edges)
def test_common_time_is_the_minutes_in_both(some, others):
    shared = common(some, others)

    assert minutes(shared) == minutes(some) & minutes(others)
    assert shared == sorted(shared)


def brute_force(wanted, free, *, length, within, count, padding):
    """(start, what is taken), looking at every minute of every quarter hour's session."""
    found, start = [], -(-within[0] // 15) * 15
    while len(found) < count and start + length <= within[1]:
        takes = []
        for group in wanted:
            for each in group:
                before, after = padding.get(each, (0, 0))
                if all(m in free[each] for m in range(start - before, start + length + after)):
                    takes.append(each)
                    break
        if len(takes) == len(wanted):
            found.append((start, tuple(takes)))
            start = -(-(start + length) // 15) * 15
        else:
            start += 15
    return found


paddings = st.tuples(st.integers(0, 90), st.integers(0, 90))


@given(
    st.lists(st.tuples(edges, paddings), min_size=3, max_size=5),
    st.integers(1, 300),
    st.tuples(st.integers(0, 400), st.integers(500, DAY)),
    st.integers(1, 8),
    st.booleans(),
)
def test_earliest_agrees_with_looking_at_every_minute(diaries, length, window, count, any_of):
    free = {number: gaps for number, (gaps, _) in enumerate(diaries)}
    padding = {number: minutes for number, (_, minutes) in enumerate(diaries)}
    wanted = [[0, 1], *([each] for each in range(2, len(free)))] if any_of else [[0], [1], [2]]

    found = earliest(
        wanted,
        {each: [tuple(map(at, gap)) for gap in gaps] for each, gaps in free.items()},
        length=length * MINUTE,
        within=tuple(map(at, window)),
        count=count,
        padding={each: Padding(*minutes) for each, minutes in padding.items()},
    )

    assert [(each.starts_at, each.takes) for each in found] == [
        (at(start), takes)
        for start, takes in brute_force(
            wanted,
            {each: minutes(gaps) for each, gaps in free.items()},
            length=length,
            within=window,
            count=count,
            padding=padding,
        )
    ]
    assert {each.ends_at - each.starts_at for each in found} <= {length * MINUTE}


@given(st.lists(edges, min_size=2, max_size=2), st.integers(1, 300), paddings)
def test_latest_agrees_with_looking_at_every_minute(diaries, length, around):
    """The last quarter hour of all from which both are free, whatever lies before."""
    free = dict(enumerate(diaries))
    before, after = around

    found = latest(
        [[0], [1]],
        {each: [tuple(map(at, gap)) for gap in gaps] for each, gaps in free.items()},
        length=length * MINUTE,
        within=(at(0), at(DAY)),
        padding={0: Padding(*around)},
    )

    both = [
        start
        for start in range(0, DAY - length + 1, 15)
        if minutes(free[0]) >= set(range(start - before, start + length + after))
        and minutes(free[1]) >= set(range(start, start + length))
    ]
    assert (found and found.starts_at) == (at(both[-1]) if both else None)


def at(minute):
    return MIDNIGHT + minute * MINUTE


# With the house's diaries, over both clock changes

NIGHTS = [  # Friday's midnight before each change of Europe/London's clocks in 2026, and one calm one
    datetime(2026, 3, 27, tzinfo=UTC),
    datetime(2026, 10, 23, 23, tzinfo=UTC),
    datetime(2026, 6, 4, 23, tzinfo=UTC),
]
LONG = 3 * DAY  # Friday to Sunday

whole_hours = st.integers(0, 23)
taken = st.lists(
    st.tuples(st.integers(0, LONG), st.integers(1, 900), st.sampled_from([1, 1, 2, None])),
    max_size=5,
)


@st.composite
def houses(draw):
    return {
        "start": draw(st.sampled_from(NIGHTS)),
        "hours": draw(
            st.lists(
                st.lists(
                    st.tuples(st.integers(3, 6), whole_hours, whole_hours),
                    max_size=5,
                    unique_by=lambda row: row[:2],
                ),
                min_size=3,
                max_size=3,
            )
        ),
        "taken": draw(st.lists(taken, min_size=4, max_size=4)),
        "warm_up": draw(st.sampled_from([0, 20, 45])),
        "length": draw(st.integers(1, 700)),
        "any_room": draw(st.booleans()),
    }


@pytest.mark.django_db
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(houses())
def test_free_time_of_a_house_agrees_with_looking_at_every_minute(house):
    start = house["start"]
    with transaction.atomic():
        unit = UnitFactory(model__warm_up_minutes=house["warm_up"])
        resources = [RoomFactory(), RoomFactory(), PersonFactory(bookable=True), unit]
        open_at_hours(resources, house["hours"])
        occupied = occupy(resources, house["taken"], start)
        first, second, person, _ = resources
        rooms = [[first, second]] if house["any_room"] else [[first], [second]]
        wanted = [*rooms, [person], [unit]]

        found = find_free_time(
            wanted,
            length=house["length"] * MINUTE,
            within=(start.astimezone(LONDON), (start + LONG * MINUTE).astimezone(LONDON)),
            count=4,
        )

        free = {
            each: free_minutes(rows, busy, start)
            for each, rows, busy in zip(resources, [*house["hours"], []], occupied, strict=True)
        }
        assert [(each.starts_at, each.takes) for each in found] == [
            (start + minute * MINUTE, takes)
            for minute, takes in brute_force(
                wanted,
                free,
                length=house["length"],
                within=(0, LONG),
                count=4,
                padding={unit: (house["warm_up"], 0)},
            )
        ]
        transaction.set_rollback(True)


def open_at_hours(resources, hours):
    for resource, rows in zip(resources, hours, strict=False):
        kind = "person" if rows and resource is resources[2] else "room"
        for weekday, opens, closes in rows:
            WeeklyHours.objects.create(
                **{kind: resource}, weekday=weekday, opens=time(opens), closes=time(closes)
            )


def occupy(resources, taken, start):
    """Reserve at random; gives what was reserved in first place, in minutes, for each resource."""
    occupied = []
    kinds = ["room", "room", "person", "unit"]
    for resource, kind, wishes in zip(resources, kinds, taken, strict=True):
        busy = set()
        for first, length, rank in wishes:
            wish = set(range(first, first + length))
            if rank != 1 or not wish & busy:
                reserve(resource, kind, start + first * MINUTE, length * MINUTE, rank)
                busy |= wish if rank == 1 else set()
        occupied.append(busy)
    return occupied


def reserve(resource, kind, starts_at, length, rank):
    """Every second one in first place by a block, to which nothing but first places belong."""
    period = {"starts_at": starts_at, "ends_at": starts_at + length}
    if rank == 1 and starts_at.minute % 2:
        block = Block.objects.create(kind="maintenance", title="Filters", **period)
        Reservation.objects.create(block=block, rank=1, **{kind: resource}, **period)
    elif not Reservation.objects.of([resource]).filter(rank=rank).overlapping(
        **period
    ).exists() or (rank is None):
        session = RecordingSessionFactory(**period)
        ReservationFactory(session=session, rank=rank, **({"room": None} | {kind: resource}))


def free_minutes(rows, busy, start):
    """The minutes, also before the window for a warm-up, that are open on the wall clock and not taken."""
    return {
        minute
        for minute in range(-60, LONG + 60)
        if minute not in busy and (not rows or is_open(rows, start + minute * MINUTE))
    }


def is_open(rows, instant):
    local = instant.astimezone(LONDON)
    today, yesterday = local.weekday(), (local.weekday() - 1) % 7
    for weekday, opens, closes in rows:
        over_midnight = closes <= opens
        if weekday == today and opens <= local.hour and (over_midnight or local.hour < closes):
            return True
        if weekday == yesterday and over_midnight and local.hour < closes:
            return True
    return False


# By hand


@pytest.mark.django_db
def test_free_time_begins_the_moment_a_session_ends_and_knows_ranks(manager):
    room = RoomFactory()
    booked(manager, start=10, end=14, rooms=[room])
    ReservationFactory(
        session=RecordingSessionFactory(starts_at=hours(14, 16)[0], ends_at=hours(14, 16)[1]),
        room=room,
        rank=2,
    )

    [before, after] = find_free_time([[room]], length=4 * HOUR, within=hours(6, 20), count=2)

    assert [(each.starts_at, each.ends_at) for each in (before, after)] == [
        hours(6, 10),
        hours(14, 18),
    ]


@pytest.mark.django_db
def test_free_time_keeps_the_padding_of_others_and_its_own(manager):
    """14:00 to 15:00 is another's teardown, and the valve microphone warms up for half an hour."""
    room, unit = RoomFactory(), UnitFactory(model__warm_up_minutes=30)
    starts_at, ends_at = hours(10, 14)
    book_session(
        ProjectFactory(),
        title="Brass",
        starts_at=starts_at,
        ends_at=ends_at,
        status=Status.HELD,
        rooms=[room],
        units=[unit],
        padding={room: Padding(0, 60), unit: Padding(0, 60)},
        by=manager,
    )

    [found] = find_free_time([[room], [unit]], length=HOUR, within=hours(10, 20), count=1)

    assert (found.starts_at, found.ends_at) == hours(15.5, 16.5)


@pytest.mark.django_db
def test_free_time_names_the_room_and_unit_that_it_would_take(manager):
    first, second = RoomFactory(), RoomFactory()
    unit, other_unit = UnitFactory(), UnitFactory()
    booked(manager, start=10, end=14, rooms=[first], units=[other_unit])

    found = find_free_time(
        [[first, second], [other_unit, unit]], length=4 * HOUR, within=hours(10, 18), count=3
    )

    assert [each.takes for each in found] == [(second, unit), (first, other_unit)]


@pytest.mark.django_db
def test_free_time_of_a_night_over_the_clock_change_is_as_long_as_it_says():
    """Open 22:00 to 10:00 over 29 March 2026: eleven hours; over 25 October: thirteen."""
    room = RoomFactory()
    WeeklyHours.objects.create(room=room, weekday=5, opens=time(22), closes=time(10))

    def lengths(day):
        start = datetime(2026, *day, 12, tzinfo=LONDON)
        [period] = free_times([room], start, start + 24 * HOUR)[room]
        return (period[1] - period[0]) / HOUR

    assert (lengths((3, 28)), lengths((10, 24)), lengths((6, 6))) == (11, 13, 12)


@pytest.mark.django_db
@pytest.mark.parametrize("number", [1, 3])
def test_free_time_costs_two_queries(manager, number):
    rooms = [RoomFactory() for _ in range(number)]
    units = [UnitFactory() for _ in range(number)]
    for room in rooms:
        booked(manager, rooms=[room], units=[])
        WeeklyHours.objects.create(room=room, weekday=0, opens=time(8), closes=time(22))

    with CaptureQueriesContext(
        connection,
    ) as queries:
        find_free_time([rooms, units], length=HOUR, within=hours(0, 24), count=5)

    assert len(queries) == 2
