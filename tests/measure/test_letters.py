"""That the proof of letters finds what is wrong; it runs in CI itself, as a share of what is long."""

import random

import pytest

from sessions.bookings.models import Status
from sessions.bookings.telling import TELL_NOBODY, telling
from sessions.letters.models import Letter
from sessions.letters.sending import send
from tests.mail_server import mail_server
from tests.measure.letters.changes import Changes
from tests.measure.letters.proof import Proof
from tests.measure.letters.readers import Readers
from tests.measure.letters.world import World, schedule
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db


@pytest.fixture
def proof(django_capture_on_commit_callbacks):
    with mail_server() as server:
        yield Proof(World.make(), Readers(server), random.Random(1))


def book(world):
    """Confirmed for one client and one person, in five days."""
    return booked(
        world.users[0],
        status=Status.CONFIRMED,
        project=world.projects[0],
        people=world.people[1:2],
        start=24 * 5000,
        end=24 * 5000 + 4,
    )


def read(proof):
    send(Letter.objects.waiting())
    return list(proof.readers.read())


def test_calendars_of_those_who_were_told_are_the_schedule(proof):
    book(proof.world)

    assert read(proof) == []
    assert set(schedule()) == {"band@windlass.example", "piran@quay-steps.example"}
    assert list(proof.readers.differences(schedule())) == []


def test_who_was_told_nothing_differs(proof):
    with telling(by=proof.world.users[0], choices=TELL_NOBODY):
        book(proof.world)

    assert read(proof) == []
    assert [address for address, *_ in proof.readers.differences(schedule())] == sorted(schedule())


def test_letter_that_says_nothing_new_is_found_and_so_are_two_at_once(proof):
    book(proof.world)
    letters = list(Letter.objects.filter(to="piran@quay-steps.example"))
    proof._check_written(letters, "booked")
    assert proof.wrong == []
    again = Letter.objects.get(pk=letters[0].pk)
    again.pk, again.message_id = None, "0" * 32
    again._state.adding = True
    again.save()
    for topic in letters[0].topics.all():
        again.topics.create(about=topic.about)

    proof._check_written([again, letters[0]], "again")

    assert any("two letters" in each for each in proof.wrong)
    assert any("says nothing new" in each for each in proof.wrong)


def test_every_kind_of_change_is_made_in_time(proof):
    """None of them is refused for ever, so that the proof is of all of them."""
    changes = Changes(proof.world, random.Random(3))

    made = {changes.make(proof.world.users[0]) for _ in range(40)}

    assert len(made) > 10
    assert schedule()
