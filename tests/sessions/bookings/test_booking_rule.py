"""Booking, blocking, padding, cancelling and confirming in any order, against a model that marks off
minutes.

The model knows nothing of periods: each room and person has a diary of minutes, each minute a set
of places that are taken in it.
"""

from dataclasses import dataclass, field

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sessions.bookings.actions import book_session, set_padding, set_status
from sessions.bookings.blocks.actions import make_block, remove_block
from sessions.bookings.clashes import ClashError
from sessions.bookings.models import BlockKind, Reservation, Status
from sessions.bookings.padding import Padding
from tests.factories import PersonFactory, ProjectFactory, RoomFactory
from tests.sessions.bookings.days import HOUR, MIDNIGHT

pytestmark = pytest.mark.django_db
MINUTE = HOUR / 60


@dataclass
class Booked:
    start: int
    end: int
    minutes: dict[int, set[int]]  # what it takes -> padding and all
    ranks: dict[int, int | None]  # what it takes -> rank
    held: bool = True
    is_block: bool = False
    thing: object = None  # the session or block


@dataclass
class Diary:
    """What was booked, minute by minute; resources are mere numbers here."""

    booked: list[Booked] = field(default_factory=list)

    def taken(self, resource, minutes, besides=None):
        """The places that somebody has in any of these minutes."""
        return {
            each.ranks[resource]
            for each in self.booked
            if each is not besides and each.ranks.get(resource) and each.minutes[resource] & minutes
        }

    def book(self, resources, start, end, *, pads, held, queue):
        """The booking, or None where it is refused."""
        minutes = {each: padded(start, end, pads[each]) for each in resources}
        if held and queue:
            ranks = {r: max(self.taken(r, taken), default=0) + 1 for r, taken in minutes.items()}
        elif any(1 in self.taken(r, taken) for r, taken in minutes.items()):
            return None
        else:
            ranks = dict.fromkeys(resources, 1)
        self.booked.append(Booked(start, end, minutes, ranks, held))
        return self.booked[-1]

    def block(self, resources, start, end):
        """The block, or None where it is refused."""
        nothing = dict.fromkeys(resources, (0, 0))
        block = self.book(resources, start, end, pads=nothing, held=False, queue=False)
        if block:
            block.is_block = True
        return block

    def release(self, booking):
        booking.ranks = dict.fromkeys(booking.ranks)
        self.step_up()

    def confirm(self, booking):
        """Whether it could be confirmed."""
        if any(1 in self.taken(r, taken, booking) for r, taken in booking.minutes.items()):
            return False
        booking.ranks = dict.fromkeys(booking.ranks, 1)
        booking.held = False
        self.step_up()
        return True

    def pad(self, booking, pads):
        """Whether the minutes around it could be changed; what grows needs its time for itself."""
        minutes = {r: padded(booking.start, booking.end, pads[r]) for r in booking.minutes}
        ranks = dict(booking.ranks)
        for resource, wanted in minutes.items():
            if ranks[resource] and not wanted <= booking.minutes[resource]:
                if 1 in self.taken(resource, wanted, booking):
                    return False
                ranks[resource] = 1
        booking.minutes, booking.ranks = minutes, ranks
        self.step_up()
        return True

    def step_up(self):
        """Single steps, in any order, until nobody can take one."""
        while any(self._takes_a_step(each, of) for each in self.booked for of in each.ranks):
            pass

    def _takes_a_step(self, booking, resource):
        rank = booking.ranks[resource]
        if not rank or rank == 1 or rank - 1 in self.taken(resource, booking.minutes[resource]):
            return False
        booking.ranks[resource] = rank - 1
        return True


def padded(start, end, pad):
    return set(range(start - pad[0], end + pad[1]))


minutes = st.integers(0, 30)
pads = st.fixed_dictionaries({resource: st.tuples(minutes, minutes) for resource in range(4)})


@st.composite
def wishes(draw):
    start = draw(st.integers(0, 300))
    return {
        "resources": draw(st.sets(st.integers(0, 1), min_size=1))
        | draw(st.sets(st.integers(2, 3))),
        "start": start,
        "end": start + draw(st.integers(1, 120)),
    }


bookings = st.fixed_dictionaries(
    {"wish": wishes(), "pads": pads, "held": st.booleans(), "queue": st.booleans()}
)
which = st.integers(0, 20)
steps = st.lists(
    st.one_of(
        st.tuples(st.just("book"), bookings),
        st.tuples(st.just("book"), bookings),
        st.tuples(st.just("block"), wishes()),
        st.tuples(st.just("give up"), which),
        st.tuples(st.just("confirm"), which),
        st.tuples(st.just("pad"), st.tuples(which, pads)),
    ),
    max_size=14,
)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps)
def test_bookings_agree_with_a_diary_of_minutes(manager, steps):
    with transaction.atomic():
        house = [RoomFactory(), RoomFactory()] + [PersonFactory(bookable=True) for _ in range(2)]
        project, diary = ProjectFactory(), Diary()
        for step, what in steps:
            if step == "book":
                book_both(diary, project, house, what, manager)
            elif step == "block":
                block_both(diary, house, what, manager)
            elif diary.booked and step == "pad":
                booking = diary.booked[what[0] % len(diary.booked)]
                pad_both(diary, booking, what[1], house, manager)
            elif diary.booked:
                move_on_both(diary, diary.booked[what % len(diary.booked)], step, manager)
            assert in_the_database(house) == in_the_diary(diary)
        transaction.set_rollback(True)


def sorted_out(house, wish):
    chosen = [house[number] for number in wish["resources"]]
    return {
        "starts_at": MIDNIGHT + wish["start"] * MINUTE,
        "ends_at": MIDNIGHT + wish["end"] * MINUTE,
        "rooms": [each for each in chosen if each in house[:2]],
        "people": [each for each in chosen if each in house[2:]],
    }


def paddings(house, pads):
    return {house[number]: Padding(*pad) for number, pad in pads.items()}


def agrees(expected, action, *args, **kwargs):
    """What the action made; it must be refused where the diary refused."""
    try:
        made = action(*args, **kwargs)
    except ClashError:
        assert not expected
        return None
    assert expected
    return made


def book_both(diary, project, house, what, manager):
    wish = what["wish"]
    expected = diary.book(**wish, pads=what["pads"], held=what["held"], queue=what["queue"])
    session = agrees(
        expected,
        book_session,
        project,
        title="Wish",
        **sorted_out(house, wish),
        status=Status.HELD if what["held"] else Status.CONFIRMED,
        padding=paddings(house, {each: what["pads"][each] for each in wish["resources"]}),
        queue_behind=what["queue"],
        by=manager,
    )
    if expected:
        expected.thing = session


def block_both(diary, house, wish, manager):
    expected = diary.block(**wish)
    wanted = sorted_out(house, wish)
    block = agrees(
        expected, make_block, kind=BlockKind.HOUSE, title="Not now", **wanted, by=manager
    )
    if expected:
        expected.thing = block


def pad_both(diary, booking, pads, house, manager):
    if booking.is_block:
        return
    booking.thing.refresh_from_db()
    expected = diary.pad(booking, pads)
    padding = paddings(house, {each: pads[each] for each in booking.ranks})
    version = booking.thing.version
    agrees(expected, set_padding, booking.thing, version=version, padding=padding, by=manager)


def move_on_both(diary, booking, step, manager):
    if booking.is_block:
        if step == "give up":
            diary.release(booking)
            remove_block(booking.thing, by=manager)
        return
    booking.thing.refresh_from_db()
    if step == "give up" and booking.thing.status != Status.CANCELLED:
        diary.release(booking)
        set_status(booking.thing, to=Status.CANCELLED, by=manager)
    elif step == "confirm" and booking.thing.status == Status.HELD:
        expected = diary.confirm(booking)
        agrees(expected, set_status, booking.thing, to=Status.CONFIRMED, by=manager)


def in_the_diary(diary):
    return {
        (each.thing, resource): (rank, MIDNIGHT + min(taken) * MINUTE, len(taken))
        for each in diary.booked
        for resource, rank in each.ranks.items()
        for taken in [each.minutes[resource]]
    }


def in_the_database(house):
    return {
        (each.holder, house.index(each.resource)): (
            each.rank,
            each.starts_at,
            (each.ends_at - each.starts_at) // MINUTE,
        )
        for each in Reservation.objects.for_list().with_holders()
    }
