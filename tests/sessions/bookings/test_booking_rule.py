"""Booking, cancelling and confirming in any order, against a model that marks off minutes.

The model knows nothing of periods: each room and person has a diary of minutes, each minute a set
of places that are taken in it.
"""

from dataclasses import dataclass, field

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sessions.bookings.actions import book_session, set_status
from sessions.bookings.clashes import ClashError
from sessions.bookings.models import Reservation, Status
from tests.factories import PersonFactory, ProjectFactory, RoomFactory
from tests.sessions.bookings.days import HOUR, MIDNIGHT

pytestmark = pytest.mark.django_db
MINUTE = HOUR / 60


@dataclass
class Booked:
    minutes: set[int]
    ranks: dict[int, int | None]  # what it takes -> place in line
    held: bool = True
    session: object = None


@dataclass
class Diary:
    """What was booked, minute by minute; resources are mere numbers here."""

    booked: list[Booked] = field(default_factory=list)

    def taken(self, resource, minutes):
        """The places that somebody has in any of these minutes."""
        return {
            each.ranks[resource]
            for each in self.booked
            if each.ranks.get(resource) and each.minutes & minutes
        }

    def book(self, resources, minutes, *, held, queue):
        """The booking, or None where it is refused."""
        if held and queue:
            ranks = {each: max(self.taken(each, minutes), default=0) + 1 for each in resources}
        elif any(1 in self.taken(each, minutes) for each in resources):
            return None
        else:
            ranks = dict.fromkeys(resources, 1)
        self.booked.append(Booked(minutes, ranks, held))
        return self.booked[-1]

    def release(self, booking):
        booking.ranks = dict.fromkeys(booking.ranks)
        self.step_up()

    def confirm(self, booking):
        """Whether it could be confirmed."""
        before, booking.ranks = booking.ranks, dict.fromkeys(booking.ranks)
        if any(1 in self.taken(each, booking.minutes) for each in before):
            booking.ranks = before
            return False
        booking.ranks = dict.fromkeys(before, 1)
        booking.held = False
        self.step_up()
        return True

    def step_up(self):
        """Single steps, in any order, until nobody can take one."""
        while any(self._takes_a_step(each, of) for each in self.booked for of in each.ranks):
            pass

    def _takes_a_step(self, booking, resource):
        rank = booking.ranks[resource]
        if not rank or rank == 1 or rank - 1 in self.taken(resource, booking.minutes):
            return False
        booking.ranks[resource] = rank - 1
        return True


@st.composite
def wishes(draw):
    start = draw(st.integers(0, 300))
    return {
        "resources": draw(st.sets(st.integers(0, 1), min_size=1))
        | draw(st.sets(st.integers(2, 3))),
        "minutes": set(range(start, start + draw(st.integers(1, 120)))),
        "held": draw(st.booleans()),
        "queue": draw(st.booleans()),
    }


steps = st.lists(
    st.one_of(
        st.tuples(st.just("book"), wishes()),
        st.tuples(st.just("book"), wishes()),
        st.tuples(st.just("cancel"), st.integers(0, 20)),
        st.tuples(st.just("confirm"), st.integers(0, 20)),
    ),
    max_size=14,
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps)
def test_bookings_agree_with_a_diary_of_minutes(manager, steps):
    with transaction.atomic():
        house = [RoomFactory(), RoomFactory()] + [PersonFactory(bookable=True) for _ in range(2)]
        project, diary = ProjectFactory(), Diary()
        for step, what in steps:
            if step == "book":
                book_both(diary, project, house, what, manager)
            elif diary.booked:
                move_on_both(diary, diary.booked[what % len(diary.booked)], step, manager)
            assert in_the_database(house) == in_the_diary(diary)
        transaction.set_rollback(True)


def book_both(diary, project, house, wish, manager):
    expected = diary.book(**wish)
    chosen = [house[number] for number in wish["resources"]]
    try:
        session = book_session(
            project,
            title="Wish",
            starts_at=MIDNIGHT + min(wish["minutes"]) * MINUTE,
            ends_at=MIDNIGHT + (max(wish["minutes"]) + 1) * MINUTE,
            status=Status.HELD if wish["held"] else Status.CONFIRMED,
            rooms=[each for each in chosen if each in house[:2]],
            people=[each for each in chosen if each in house[2:]],
            queue_behind=wish["queue"],
            by=manager,
        )
    except ClashError:
        session = None
    assert (session is None) == (expected is None)
    if expected:
        expected.session = session


def move_on_both(diary, booking, step, manager):
    if step == "cancel" and booking.session.status != Status.CANCELLED:
        diary.release(booking)
        set_status(booking.session, to=Status.CANCELLED, by=manager)
    elif step == "confirm" and booking.session.status == Status.HELD:
        expected = diary.confirm(booking)
        try:
            set_status(booking.session, to=Status.CONFIRMED, by=manager)
        except ClashError:
            assert not expected
            booking.session.refresh_from_db()
        else:
            assert expected


def in_the_diary(diary):
    return {
        (each.session.pk, resource): rank
        for each in diary.booked
        for resource, rank in each.ranks.items()
    }


def in_the_database(house):
    return {
        (each.session_id, house.index(each.resource)): each.rank
        for each in Reservation.objects.for_list()
    }
