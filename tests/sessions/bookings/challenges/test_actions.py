"""Challenge, take back, answer: what becomes of hold, challenge and line."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from sessions.bookings.actions import change_session, set_status
from sessions.bookings.challenges.actions import challenge_hold, withdraw_challenge
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Challenge, ChallengeOutcome, Status
from sessions.rooms.models import HouseRules
from tests.factories import ChallengeFactory, RoomFactory
from tests.sessions.bookings.challenges.lines import ASKED, at, line_of_holds, standings
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def _in_may():
    with at(ASKED):
        yield


@pytest.mark.parametrize("answer_within", [24, 36, 48])
def test_challenge_gives_the_hours_of_the_house(manager, answer_within):
    HouseRules.objects.create(pk=1, challenge_hours=answer_within)
    hold, challenger = line_of_holds(manager, "First", "Second")

    challenge = challenge_hold(hold, challenger=challenger, by=manager)

    assert challenge.deadline == ASKED + answer_within * HOUR
    assert (challenge.made_at, challenge.made_by) == (ASKED, manager)
    assert challenge.outcome == ChallengeOutcome.OPEN
    assert challenge.history.get().history_user == manager
    assert standings(hold, challenger) == ["first hold", "second hold"]


def test_third_hold_challenges_the_first_and_not_the_second(manager):
    first, second, third = line_of_holds(manager, "First", "Second", "Third")

    with pytest.raises(BookingRefused, match="is not behind “Second”"):
        challenge_hold(second, challenger=third, by=manager)

    assert challenge_hold(first, challenger=third, by=manager).hold == first


def test_nobody_challenges_from_the_front(manager):
    first, second = line_of_holds(manager, "First", "Second")

    for hold, challenger in ((second, first), (first, first)):
        with pytest.raises(BookingRefused, match="is not behind"):
            challenge_hold(hold, challenger=challenger, by=manager)


def test_hold_in_another_room_is_not_challenged(manager):
    line_of_holds(manager, "First", "Second", room=RoomFactory())
    [other] = line_of_holds(manager, "Elsewhere", room=RoomFactory())
    second = Challenge.hold.field.related_model.objects.get(title="Second")

    with pytest.raises(BookingRefused, match="is not behind “Elsewhere”"):
        challenge_hold(other, challenger=second, by=manager)


def test_confirmed_session_is_not_challenged(manager):
    first, second = line_of_holds(manager, "First", "Second")
    set_status(first, to=Status.CONFIRMED, by=manager)

    with pytest.raises(BookingRefused, match="“First” is confirmed: there is no hold"):
        challenge_hold(first, challenger=second, by=manager)


def test_hold_is_challenged_once_at_a_time(manager):
    first, second, third = line_of_holds(manager, "First", "Second", "Third")
    challenge_hold(first, challenger=second, by=manager)

    with pytest.raises(
        BookingRefused, match="challenged already and has to be confirmed or released by Thu 21 May"
    ):
        challenge_hold(first, challenger=third, by=manager)


def test_database_keeps_one_open_challenge_a_hold():
    challenge = ChallengeFactory()
    ChallengeFactory(hold=challenge.hold, outcome=ChallengeOutcome.WITHDRAWN)

    with pytest.raises(IntegrityError), transaction.atomic():
        ChallengeFactory(hold=challenge.hold)


@pytest.mark.parametrize(("until_start", "is_refused"), [(24, False), (23.99, True), (-1, True)])
def test_holder_has_all_the_hours_before_the_session_begins(manager, until_start, is_refused):
    first, second = line_of_holds(manager, "First", "Second")

    with at(first.starts_at - until_start * HOUR):
        if is_refused:
            with pytest.raises(BookingRefused, match="in less than the 24 hours"):
                challenge_hold(first, challenger=second, by=manager)
        else:
            assert challenge_hold(first, challenger=second, by=manager).deadline == first.starts_at

    assert Challenge.objects.exists() is not is_refused


# Answers


@pytest.mark.parametrize(
    ("to", "outcome", "stand"),
    [
        (Status.CONFIRMED, ChallengeOutcome.CONFIRMED, ["confirmed", "second hold", "third hold"]),
        (Status.ENQUIRY, ChallengeOutcome.RELEASED, ["enquiry", "first hold", "second hold"]),
        (Status.CANCELLED, ChallengeOutcome.RELEASED, ["cancelled", "first hold", "second hold"]),
    ],
)
def test_step_of_the_holder_is_the_answer(manager, to, outcome, stand):
    line = line_of_holds(manager, "First", "Second", "Third")
    challenge = challenge_hold(line[0], challenger=line[1], by=manager)

    with at(ASKED + HOUR):
        set_status(line[0], to=to, by=manager)

    challenge.refresh_from_db()
    assert (challenge.outcome, challenge.closed_at) == (outcome, ASKED + HOUR)
    assert challenge.history.first().history_user == manager
    assert standings(*line) == stand
    assert line[0].lapsed_at is None


@pytest.mark.parametrize("to", [Status.ENQUIRY, Status.CANCELLED])
def test_challenge_ends_with_the_challenger(manager, to):
    first, second = line_of_holds(manager, "First", "Second")
    challenge = challenge_hold(first, challenger=second, by=manager)

    set_status(second, to=to, by=manager)

    challenge.refresh_from_db()
    assert challenge.outcome == ChallengeOutcome.WITHDRAWN
    assert standings(first) == ["first hold"]


@pytest.mark.parametrize(
    ("who", "outcome"),
    [("First", ChallengeOutcome.RELEASED), ("Second", ChallengeOutcome.WITHDRAWN)],
)
def test_who_moves_to_another_day_leaves_the_challenge(manager, who, outcome):
    line = line_of_holds(manager, "First", "Second")
    challenge = challenge_hold(line[0], challenger=line[1], by=manager)
    [moves] = [session for session in line if session.title == who]
    starts_at, ends_at = hours(34, 38)

    change_session(
        moves,
        version=moves.version,
        project=moves.project,
        title=moves.title,
        starts_at=starts_at,
        ends_at=ends_at,
        rooms=[each.room for each in moves.reservations.all()],
        by=manager,
    )

    challenge.refresh_from_db()
    assert challenge.outcome == outcome
    assert standings(*line) == ["first hold", "first hold"]


def test_step_of_somebody_else_leaves_the_challenge_open(manager):
    first, second, third = line_of_holds(manager, "First", "Second", "Third")
    challenge = challenge_hold(first, challenger=second, by=manager)

    set_status(third, to=Status.CANCELLED, by=manager)

    challenge.refresh_from_db()
    assert challenge.outcome == ChallengeOutcome.OPEN


def test_challenge_is_taken_back_once(manager):
    first, second = line_of_holds(manager, "First", "Second")
    challenge = challenge_hold(first, challenger=second, by=manager)

    withdraw_challenge(challenge, by=manager)

    assert challenge.outcome == ChallengeOutcome.WITHDRAWN
    with pytest.raises(BookingRefused, match="over: the challenge was withdrawn Wed 20 May 2026"):
        withdraw_challenge(challenge, by=manager)


def test_hold_is_challenged_again_after_an_answer(manager):
    first, second = line_of_holds(manager, "First", "Second")
    withdraw_challenge(challenge_hold(first, challenger=second, by=manager), by=manager)

    assert challenge_hold(first, challenger=second, by=manager).outcome == ChallengeOutcome.OPEN
    assert first.challenges.count() == 2


# Steps on record


def test_every_step_is_on_record_with_time_and_person(manager, engineer):
    session = booked(manager)
    with at(ASKED + HOUR):
        set_status(session, to=Status.CONFIRMED, by=engineer)

    session.refresh_from_db()
    steps = [(step.status, step.at, step.by) for step in session.status_steps.all()]
    assert steps == [
        (Status.HELD, ASKED, manager),
        (Status.CONFIRMED, ASKED + HOUR, engineer),
    ]
    assert session.status_since == ASKED + HOUR


def test_refused_step_is_not_on_record(manager):
    session = booked(manager)

    with pytest.raises(BookingRefused):
        set_status(session, to=Status.WRAPPED, by=manager)

    assert [step.status for step in session.status_steps.all()] == [Status.HELD]
