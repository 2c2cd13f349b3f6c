"""Whatever is done in whatever order, the lines stay right: against hours as sets."""

from contextlib import contextmanager
from datetime import timedelta
from itertools import combinations

import pytest
import time_machine
from django.db import transaction
from django.utils import timezone
from hypothesis import HealthCheck, event, example, given, settings
from hypothesis import strategies as st

from sessions.bookings.actions import book_session, set_status
from sessions.bookings.challenges.actions import challenge_hold, lapse_due, withdraw_challenge
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.holds.answers import holds_before
from sessions.bookings.models import (
    TAKES_NOTHING,
    Challenge,
    ChallengeOutcome,
    RecordingSession,
    Reservation,
    Status,
)
from tests.factories import PersonFactory, ProjectFactory, RoomFactory
from tests.sessions.bookings.challenges.lines import ASKED
from tests.sessions.bookings.days import MIDNIGHT, hours

DAY = 6  # hours, few enough that sessions get in each other's way
HOUR = timedelta(hours=1)
which = st.integers(0, 9)
STATUSES = [Status.HELD, Status.HELD, Status.HELD, Status.CONFIRMED, Status.ENQUIRY]


def bookings(statuses, queueing):
    return st.tuples(
        st.just("book"),
        statuses,
        st.integers(0, DAY - 1),
        st.integers(1, 4),
        st.sets(st.integers(0, 2), min_size=1),
        queueing,
    )


QUEUES = st.lists(bookings(st.just(Status.HELD), st.just(True)), min_size=3, max_size=6)
MOVES = st.one_of(
    bookings(st.sampled_from(STATUSES), st.booleans()),
    st.tuples(st.just("step"), which, st.sampled_from(Status), st.booleans()),
    st.tuples(st.just("challenge"), which, which),
    st.tuples(st.just("challenge_somebody_before"), which),
    st.tuples(st.just("withdraw"), which),
    st.tuples(st.just("wait"), st.sampled_from([8, 24, 30])),
    st.tuples(st.just("challenge_somebody_before"), which),
    st.tuples(st.just("wait"), st.just(24)),
)


class House:
    """Two rooms and an engineer, with all that is wanted of them."""

    def __init__(self, by, clock):
        self.by, self.clock = by, clock
        self.project = ProjectFactory()
        self.resources = [RoomFactory(), RoomFactory(), PersonFactory(bookable=True)]

    def do(self, what, *how):
        """Returns the keys of the sessions whose own doing it was."""
        return getattr(self, what)(*how)

    def book(self, status, start, length, wanted, queue_behind):
        starts_at, ends_at = hours(start, start + length)
        taken = [self.resources[index] for index in wanted]
        people = self.resources[2:]
        book_session(
            self.project,
            title="Hold",
            starts_at=starts_at,
            ends_at=ends_at,
            status=status,
            rooms=[each for each in taken if each not in people],
            people=[each for each in taken if each in people],
            queue_behind=queue_behind,
            by=self.by,
        )
        return set()

    def step(self, index, to, queue_behind):
        session = self.session(index)
        set_status(session, to=to, queue_behind=queue_behind, by=self.by)
        return {session.pk}

    def challenge(self, index, challenger):
        challenge_hold(self.session(index), challenger=self.session(challenger), by=self.by)
        event("challenged")
        return set()

    def challenge_somebody_before(self, index):
        """A pair that may, since most pairs may not."""
        everyone = RecordingSession.objects.order_by("pk")
        may = [
            (hold, each) for each in everyone for hold in holds_before(each, among=everyone.all())
        ]
        if may:
            hold, challenger = may[index % len(may)]
            challenge_hold(hold, challenger=challenger, by=self.by)
            event("challenged")
        return set()

    def withdraw(self, index):
        standing = list(Challenge.objects.open().order_by("pk"))
        if standing:
            withdraw_challenge(standing[index % len(standing)], by=self.by)
        return set()

    def wait(self, length):
        self.clock.shift(length * HOUR)
        lapsed = lapse_due(timezone.now())
        if lapsed:
            event("lapsed")
        assert lapse_due(timezone.now()) == []
        assert not Challenge.objects.due(timezone.now()).exists()
        return {session.pk for session in lapsed}

    def session(self, index):
        sessions = list(RecordingSession.objects.order_by("pk"))
        if not sessions:
            raise BookingRefused("Nothing is booked yet.")
        return sessions[index % len(sessions)]


@contextmanager
def undone():
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def everybody():
    """(resource, hours as a set, rank, session) of each reservation, the status from its session."""
    return {
        each.pk: (
            (each.room_id, each.person_id),
            set(
                range(
                    int((each.starts_at - MIDNIGHT) / HOUR), int((each.ends_at - MIDNIGHT) / HOUR)
                )
            ),
            each.rank,
            each.session,
        )
        for each in Reservation.objects.select_related("session")
    }


def pairs(reservations):
    """Whoever wants the same time of the same resource, both with a rank."""
    standing = [(key, each) for key, each in sorted(reservations.items()) if each[2]]
    for (one, (resource, wanted, rank, _)), (other, (its, too, its_rank, _)) in combinations(
        standing, 2
    ):
        if resource == its and wanted & too:
            yield one, other, rank, its_rank


def check_lines(reservations):
    in_the_way = {}
    for one, other, rank, its_rank in pairs(reservations):
        assert rank != its_rank, "two of one rank want the same time"
        in_the_way.setdefault(one, set()).add(its_rank)
        in_the_way.setdefault(other, set()).add(rank)
    for key, (_, _, rank, session) in reservations.items():
        assert (rank is None) == (session.status in TAKES_NOTHING)
        if rank and rank > 1:
            assert session.status == Status.HELD, "only a hold has a rank behind"
            assert rank - 1 in in_the_way.get(key, ()), "somebody could move up"


def check_order(before, after, moved):
    orders = {(one, other): rank < its_rank for one, other, rank, its_rank in pairs(before)}
    for one, other, rank, its_rank in pairs(after):
        if (one, other) in orders and not moved & {after[one][3].pk, after[other][3].pk}:
            assert orders[one, other] == (rank < its_rank), "somebody was passed in line"


def check_challenges(reservations):
    for challenge in Challenge.objects.open().select_related("hold", "challenger"):
        assert challenge.hold.status == challenge.challenger.status == Status.HELD
        assert any(
            resource == its and wanted & too and rank == 1 and its_rank > 1
            for resource, wanted, rank, session in reservations.values()
            for its, too, its_rank, other in reservations.values()
            if session == challenge.hold and other == challenge.challenger
        ), "an open challenge by somebody who is not behind the hold"


def check_record():
    for session in RecordingSession.objects.prefetch_related("status_steps"):
        last = list(session.status_steps.all())[-1]
        assert (last.status, last.at) == (session.status, session.status_since)
        lapses = session.challenges.filter(outcome=ChallengeOutcome.LAPSED)
        assert session.lapsed_at is None or lapses.filter(closed_at=session.lapsed_at).exists()


@pytest.mark.django_db
@settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@example(
    queue=[("book", Status.HELD, 0, length, {0, 2}, True) for length in (4, 2, 4)],
    moves=[
        ("challenge", 0, 2),
        ("challenge", 0, 1),
        ("wait", 24),
        ("challenge_somebody_before", 0),
        ("step", 1, Status.CONFIRMED, False),
        ("step", 0, Status.ENQUIRY, False),
        ("step", 0, Status.HELD, True),
    ],
)
@given(QUEUES, st.lists(MOVES, min_size=3, max_size=14))
def test_lines_stay_right_whatever_is_done(engineer, queue, moves):
    with time_machine.travel(ASKED, tick=False) as clock, undone():
        house = House(engineer, clock)
        before = {}
        for move in [*queue, *moves]:
            try:
                with transaction.atomic():
                    moved = house.do(*move)
            except BookingRefused:
                assert {key: each[2] for key, each in everybody().items()} == {
                    key: each[2] for key, each in before.items()
                }, "a refusal changed something"
                continue
            after = everybody()
            check_lines(after)
            check_order(before, after, moved)
            check_challenges(after)
            check_record()
            before = after
