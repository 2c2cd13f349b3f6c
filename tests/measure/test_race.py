"""What the race finds; the race itself: `tests/sessions/bookings/test_races.py`."""

from contextlib import contextmanager

import pytest
from django.db import connection, transaction

from sessions import constraints
from tests.factories import ReservationFactory, RoomFactory
from tests.measure.prize import gaps, overlaps, standing
from tests.measure.race import judge

pytestmark = pytest.mark.django_db


@contextmanager
def without_rules():
    constraints.remove(connection)
    yield
    transaction.set_rollback(True)


def test_overlaps_sees_two_of_one_rank():
    room = RoomFactory()
    with transaction.atomic(), without_rules():
        for rank in (1, 2, None, None):
            ReservationFactory(room=room, rank=rank)
        assert overlaps() == 0

        ReservationFactory(room=room, rank=1)

        assert overlaps() == 1


def test_gaps_sees_a_second_hold_behind_nobody():
    behind = ReservationFactory(rank=2)
    assert gaps() == 1

    ReservationFactory(room=behind.room, rank=1)

    assert gaps() == 0


def test_judge_finds_what_was_acknowledged_and_is_not_there():
    here, torn, back, unheard = (ReservationFactory().session_id for _ in range(4))
    ReservationFactory(rank=None)  # takes nothing: not there

    verdict = judge(
        [
            f"booked {here} 1 0.5\nclash 2.5\nbooked {torn} 2 0.1\n",
            f"booked {back} 1 0.1\ncancelling {back} 0.0\ncancelled {back} 0.1\nbooked 999998 1 0.1\n",
            "booked 999999 1 0.1\ncancelling 999999 0.0\nerror OperationalError locked 20.0\nboo",
        ]
    )

    assert (verdict.lost, verdict.torn, verdict.back) == ([999998], [torn], [back])
    assert (verdict.booked, verdict.cancelled, verdict.clashes) == (5, 1, 1)
    assert verdict.errors == ["OperationalError locked"]
    assert verdict.answers_of_each == [2, 3, 3]
    assert verdict.longest_wait == 20.0
    assert verdict.unheard == len({unheard})
    assert set(standing()) == {here, torn, back, unheard}
    assert not verdict.holds


@pytest.mark.parametrize(
    ("notes", "holds"),
    [
        ("booked {key} 1 0.1\nclash 0.1\n", True),
        ("booked {key} 1 0.1\n", False),  # nobody was refused: that was no race
        ("clash 0.1\n", False),  # nobody got anything
        ("booked {key} 1 0.1\nclash 0.1\nerror InternalError 0.1\n", False),
    ],
)
def test_verdict_holds_only_after_a_race(notes, holds):
    key = ReservationFactory().session_id

    assert judge([notes.format(key=key)]).holds == holds
