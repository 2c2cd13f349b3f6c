"""A move on the schedule and its undoing: everything as it stood, and nobody told of what was undone."""

import json
from dataclasses import asdict
from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from gear.editing.versions import EditedMeanwhile
from sessions.bookings.actions import change_session
from sessions.bookings.challenges.actions import challenge_hold
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.models import ChallengeOutcome, Reservation, Status
from sessions.bookings.moves.actions import (
    CHANGED_SINCE,
    TOO_LATE,
    UNDO_WITHIN,
    Moved,
    Swap,
    move_on_schedule,
    undo_move,
)
from sessions.bookings.telling import Choices, telling
from sessions.bookings.worked_hours import write_hours
from sessions.letters.models import Letter, LetterState
from sessions.tasks.models import Worker
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UserFactory,
)
from tests.sessions.bookings.days import MIDNIGHT, booked, hours

pytestmark = pytest.mark.django_db
NOW = MIDNIGHT - timedelta(days=7)


@pytest.fixture(autouse=True)
def _a_week_before():
    with time_machine.travel(NOW, tick=False):
        yield


def moved(session, start, end, *, by, **more):
    starts_at, ends_at = hours(start, end)
    return move_on_schedule(
        session, version=session.version, starts_at=starts_at, ends_at=ends_at, by=by, **more
    )


def stored(move: Moved) -> Moved:
    """As a web session keeps it."""
    return Moved(**json.loads(json.dumps(asdict(move))))


def standing():
    """Of every reservation, whose it is, of what, when and at which rank."""
    return sorted(
        Reservation.objects.values_list(
            "session", "room", "person", "starts_at", "ends_at", "before_minutes", "rank", "missing"
        ),
        key=str,
    )


def test_second_hold_moves_up_and_is_back_when_the_move_is_undone(manager):
    """A 10 to 14 first, B 12 to 16 behind it; A goes to the evening and comes back."""
    room = RoomFactory()
    first = booked(manager, rooms=[room])
    second = booked(manager, rooms=[room], start=12, end=16, queue_behind=True)
    before = standing()

    move = moved(first, 18, 22, by=manager)
    assert second.reservations.get().rank == 1
    undo_move(stored(move), by=manager)

    assert standing() == before
    first.refresh_from_db()
    assert (first.starts_at, first.ends_at) == hours(10, 14)


def test_challenge_that_the_move_answered_is_open_again(manager):
    room = RoomFactory()
    first = booked(manager, rooms=[room])
    second = booked(manager, rooms=[room], queue_behind=True)
    challenge = challenge_hold(first, challenger=second, by=manager)

    move = moved(first, 18, 22, by=manager)
    challenge.refresh_from_db()
    assert challenge.outcome == ChallengeOutcome.RELEASED
    undo_move(stored(move), by=manager)

    challenge.refresh_from_db()
    assert (challenge.outcome, challenge.closed_at) == (ChallengeOutcome.OPEN, None)


def test_another_room_is_taken_in_the_place_of_one_and_given_back_with_its_padding(manager):
    old, new, person = RoomFactory(), RoomFactory(), PersonFactory(bookable=True)
    session = booked(manager, rooms=[old], people=[person])
    session.reservations.filter(room=old).update(
        before_minutes=30, starts_at=session.starts_at - timedelta(minutes=30)
    )
    before = standing()

    move = moved(session, 15, 19, swap=Swap(old, new), by=manager)
    taken = session.reservations.for_list()
    assert [each.resource for each in taken] == [new, person]
    undo_move(stored(move), by=manager)

    assert standing() == before


def test_planned_hours_go_with_the_move_and_come_back(manager):
    session = booked(manager, start=10, end=34, lockout=True)
    starts_at, ends_at = hours(12, 18)
    planned = write_hours(session, kind="planned", starts_at=starts_at, ends_at=ends_at, by=manager)

    move = moved(session, 34, 58, by=manager)
    planned.refresh_from_db()
    assert (planned.starts_at, planned.ends_at) == hours(36, 42)
    undo_move(stored(move), by=manager)

    planned.refresh_from_db()
    assert (planned.starts_at, planned.ends_at) == hours(12, 18)


def test_move_is_refused_as_an_edit_is(manager):
    room = RoomFactory()
    session = booked(manager, rooms=[room], status=Status.CONFIRMED)
    booked(manager, rooms=[room], start=15, end=18, title="Brass")

    with pytest.raises(ClashError, match="Brass"):
        moved(session, 14, 16, by=manager)
    with pytest.raises(BookingRefused, match="not reserved any more"):
        moved(session, 10, 12, swap=Swap(RoomFactory(), RoomFactory()), by=manager)
    session.refresh_from_db()
    session.version -= 1
    with pytest.raises(EditedMeanwhile):
        moved(session, 10, 12, by=manager)


def test_undo_is_refused_after_a_minute(manager):
    session = booked(manager)
    move = moved(session, 11, 15, by=manager)

    with (
        time_machine.travel(NOW + UNDO_WITHIN + timedelta(seconds=1), tick=False),
        pytest.raises(BookingRefused, match=TOO_LATE[:20]),
    ):
        undo_move(move, by=manager)


def test_undo_is_refused_once_somebody_has_taken_the_time_or_changed_the_session(manager):
    room = RoomFactory()
    session = booked(manager, rooms=[room])
    move = moved(session, 18, 22, by=manager)
    other = booked(manager, rooms=[room], start=12, end=15)

    with pytest.raises(BookingRefused, match=CHANGED_SINCE[:20]):
        undo_move(move, by=manager)

    other.reservations.all().delete()
    session.refresh_from_db()
    change_session(
        session,
        version=session.version,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        rooms=[room],
        title="Renamed",
        by=manager,
    )
    with pytest.raises(BookingRefused, match=CHANGED_SINCE[:20]):
        undo_move(move, by=manager)


def test_undone_before_its_letters_go_nobody_hears_of_it(manager):
    Worker.objects.sign("one")
    client = ClientFactory(email="windlass@band.example")
    session = booked(manager, project=ProjectFactory(client=client), status=Status.CONFIRMED)
    Letter.objects.update(state=LetterState.SENT)

    later = timezone.now() + UNDO_WITHIN
    with telling(by=manager, choices=Choices(not_before=later)):
        move = moved(session, 15, 19, by=manager)
    waiting = Letter.objects.get(state=LetterState.WAITING)
    assert (waiting.to, waiting.kind, waiting.not_before) == (client.email, "moved", later)
    undo_move(move, by=manager)

    states = Letter.objects.order_by("pk").values_list("state", flat=True)
    assert list(states) == [LetterState.SENT, LetterState.REPLACED]


@given(
    st.lists(st.tuples(st.integers(0, 20), st.integers(1, 6)), min_size=2, max_size=4),
    st.integers(0, 20),
    st.integers(1, 6),
    st.data(),
)
@settings(max_examples=8, deadline=None)
def test_undoing_leaves_every_line_as_it_was(wanted, start, length, data):
    """Any holds in a line, any of them moved anywhere: afterwards nothing is other than before."""
    by = UserFactory()
    room = RoomFactory()
    held = [booked(by, rooms=[room], start=at, end=at + of, queue_behind=True) for at, of in wanted]
    mine = Reservation.objects.filter(room=room).order_by("pk")
    before = list(mine.values_list("pk", "starts_at", "ends_at", "rank"))

    move = moved(data.draw(st.sampled_from(held)), start, start + length, queue_behind=True, by=by)
    undo_move(stored(move), by=by)

    assert list(mine.values_list("pk", "starts_at", "ends_at", "rank")) == before
