import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from sessions.bookings.clashes import find_clashes, in_the_way
from sessions.bookings.models import Status
from sessions.rooms.models import Room
from tests.factories import (
    TEN_O_CLOCK,
    BlockFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
)
from tests.sessions.bookings.days import HOUR, hours

pytestmark = pytest.mark.django_db


def reserve(start, end, **reservation):
    starts_at, ends_at = hours(start, end)
    session = RecordingSessionFactory(
        starts_at=starts_at, ends_at=ends_at, status=reservation.pop("status", Status.HELD)
    )
    return ReservationFactory(session=session, **reservation)


@pytest.mark.parametrize(
    ("start", "end", "overlap"),
    [
        (8, 10, None),  # touches its start
        (14, 15, None),  # touches its end
        (8, 11, (10, 11)),
        (13, 15, (13, 14)),
        (11, 12, (11, 12)),  # inside
        (8, 18, (10, 14)),  # around
        (10, 14, (10, 14)),
    ],
)
def test_find_clashes_gives_the_time_that_both_want(start, end, overlap):
    taken = reserve(10, 14)

    clashes = find_clashes(dict.fromkeys([taken.room], hours(start, end)))

    assert [(each.starts_at, each.ends_at) for each in clashes] == (
        [hours(*overlap)] if overlap else []
    )


def test_find_clashes_knows_the_manuals_half_open_vector():
    """PostgreSQL manual, range types: 14:45 to 15:45 is rejected beside 11:30 to 15:00."""
    taken = reserve(11.5, 15)

    [clash] = find_clashes(dict.fromkeys([taken.room], hours(14.75, 15.75)))

    assert (clash.starts_at, clash.ends_at) == hours(14.75, 15)


def test_find_clashes_lists_everything_in_the_way_earliest_first():
    room, person, unit = RoomFactory(), PersonFactory(), UnitFactory()
    late = reserve(13, 20, room=None, unit=unit)
    early = reserve(9, 11, room=room)
    between = reserve(11, 12, room=None, person=person)
    reserve(11, 12, room=RoomFactory())  # a room that nobody asks for

    clashes = find_clashes(dict.fromkeys([unit, room, person], hours(10, 14)))

    assert [(each.resource, each.by) for each in clashes] == [
        (room, in_the_way(early)),
        (person, in_the_way(between)),
        (unit, in_the_way(late)),
    ]


def test_find_clashes_looks_at_one_rank():
    second = reserve(10, 14, rank=2)
    reserve(10, 14, room=second.room, rank=None)

    assert find_clashes(dict.fromkeys([second.room], hours(10, 14))) == []
    assert len(find_clashes(dict.fromkeys([second.room], hours(10, 14)), rank=2)) == 1


def test_find_clashes_ignores_the_session_itself():
    taken = reserve(10, 14)

    assert find_clashes(dict.fromkeys([taken.room], hours(10, 14)), ignoring=taken.session) == []


def test_find_clashes_of_nothing_is_nothing():
    assert find_clashes(dict.fromkeys([], hours(10, 14))) == []


def test_find_clashes_sees_what_began_long_before():
    lockout = reserve(-24 * 30, 14)
    reserve(-24 * 40, -24 * 35, room=lockout.room)

    assert [each.by for each in find_clashes(dict.fromkeys([lockout.room], hours(10, 12)))] == [
        in_the_way(lockout)
    ]


@pytest.mark.parametrize("count", [1, 3])
def test_find_clashes_and_what_it_says_cost_one_query_whatever_it_finds(count):
    resources = [make() for make in (RoomFactory, PersonFactory, UnitFactory) for _ in range(count)]
    for resource in resources:
        kind = type(resource).__name__.lower()
        reserve(10, 14, **({"room": None} | {kind: resource}))

    with CaptureQueriesContext(connection) as none:
        assert find_clashes(dict.fromkeys(resources, hours(14, 18))) == []
    with CaptureQueriesContext(connection) as all_of_them:
        assert (
            len([str(each) for each in find_clashes(dict.fromkeys(resources, hours(10, 14)))])
            == 3 * count
        )

    assert (len(none), len(all_of_them)) == (1, 1)


def test_find_clashes_asks_the_index_for_a_short_stretch_only():
    """However many years lie before: neither engine may read the whole line of a room."""
    room = RoomFactory()
    for day in range(60):
        reserve(24 * day, 24 * day + 8, room=room)
    with CaptureQueriesContext(connection) as asked:
        find_clashes(dict.fromkeys([room], hours(24 * 60, 24 * 60 + 8)))
    explain = {"sqlite": "EXPLAIN QUERY PLAN ", "postgresql": "EXPLAIN "}[connection.vendor]

    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("ANALYZE studio_sessions_reservation")
            cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute(explain + asked[0]["sql"])
        plan = "\n".join(str(row) for row in cursor.fetchall())

    assert plan.count("reservation_room_line") == 2
    assert "SCAN studio_sessions_reservation" not in plan
    assert "Seq Scan on studio_sessions_reservation" not in plan


def test_clash_says_who_what_and_when_in_the_studios_zone():
    taken = reserve(10, 14, status=Status.CONFIRMED)
    project = taken.session.project

    [clash] = find_clashes({taken.room: (TEN_O_CLOCK + 2 * HOUR, TEN_O_CLOCK + 24 * HOUR)})

    assert str(clash) == (
        f"{taken.room} is taken by “{taken.session.title}” ({project.name}, "
        f"{project.client.name}), confirmed: Mon 1 Jun 2026, 13:00 to 15:00."
    )


def block_reservation(start, end, **reservation):
    starts_at, ends_at = hours(start, end)
    block = BlockFactory(title="Piano tuning", starts_at=starts_at, ends_at=ends_at)
    return ReservationFactory(
        session=None, block=block, starts_at=starts_at, ends_at=ends_at, **reservation
    )


def test_clash_with_a_block_says_what_it_is_for():
    taken = block_reservation(10, 14)

    [clash] = find_clashes(dict.fromkeys([taken.room], hours(12, 16)))

    assert (clash.by, clash.rank) == (in_the_way(taken), 1)
    assert str(clash) == (
        f"{taken.room} is blocked for “Piano tuning” (maintenance): Mon 1 Jun 2026, 13:00 to 15:00."
    )


def test_find_clashes_ignores_a_block_itself_and_not_its_like():
    room = RoomFactory()
    own, session = block_reservation(10, 12, room=room), reserve(12, 14, room=room)

    assert [
        each.by for each in find_clashes(dict.fromkeys([room], hours(9, 15)), ignoring=own.block)
    ] == [in_the_way(session)]
    assert [
        each.by
        for each in find_clashes(dict.fromkeys([room], hours(9, 15)), ignoring=session.session)
    ] == [in_the_way(own)]


def test_find_clashes_asks_for_each_in_its_own_period():
    early, late = reserve(10, 12), reserve(14, 16)

    clashes = find_clashes({early.room: hours(11, 15), late.room: hours(11, 14)})

    assert [(each.resource, each.starts_at, each.ends_at) for each in clashes] == [
        (early.room, *hours(11, 12))
    ]


def test_find_clashes_of_more_than_one_query_holds():
    """SQLite joins at most 500 queries by UNION: more resources than that are asked in parts."""
    rooms = Room.objects.bulk_create([Room(name=f"Booth {n}") for n in range(450)])
    first, last = reserve(10, 14, room=rooms[0]), reserve(10, 14, room=rooms[-1])

    clashes = find_clashes(dict.fromkeys(rooms, hours(12, 13)))

    assert [each.by for each in clashes] == [in_the_way(first), in_the_way(last)]
