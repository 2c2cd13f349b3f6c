"""The clashes of a whole house are those that are found one by one."""

from datetime import timedelta

import pytest

from sessions.bookings.all_clashes import all_clashes
from sessions.bookings.clashes import find_clashes
from tests.factories import (
    TEN_O_CLOCK,
    BlockFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
)

HOUR = timedelta(hours=1)


@pytest.mark.django_db
def test_all_clashes_are_those_of_each(django_assert_num_queries):
    """Within, touching, over both ends, a lockout of a month and a block of a year."""
    rooms = [RoomFactory() for _ in range(7)]
    person, unit = PersonFactory(), UnitFactory()
    day = timedelta(days=1)
    spans = [(0, 4), (-4, 0), (4, 8), (1, 2), (-1, 5)]
    for room, (start, end) in zip(rooms, spans, strict=False):
        _reserved(TEN_O_CLOCK + start * HOUR, TEN_O_CLOCK + end * HOUR, room=room)
    _reserved(TEN_O_CLOCK - 30 * day, TEN_O_CLOCK + day, room=None, person=person)
    _reserved(TEN_O_CLOCK + HOUR, TEN_O_CLOCK + 2 * HOUR, rank=2, room=rooms[5])
    block = BlockFactory(starts_at=TEN_O_CLOCK - 300 * day, ends_at=TEN_O_CLOCK + 60 * day)
    ReservationFactory(
        session=None, block=block, room=None, unit=unit,
        starts_at=block.starts_at, ends_at=block.ends_at,
    )  # fmt: skip
    wanted = {
        each: (TEN_O_CLOCK, TEN_O_CLOCK + (number + 1) * HOUR)
        for number, each in enumerate([*rooms, person, unit])
    }

    with django_assert_num_queries(2):
        found = all_clashes(wanted)

    one_by_one = {each: find_clashes({each: period}) for each, period in wanted.items()}
    assert found == {each: clashes for each, clashes in one_by_one.items() if clashes}
    assert found.keys() == {rooms[0], rooms[3], rooms[4], person, unit}


def _reserved(starts_at, ends_at, **of):
    session = RecordingSessionFactory(starts_at=starts_at, ends_at=ends_at)
    return ReservationFactory(session=session, **of)
