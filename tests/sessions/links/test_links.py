"""Secret links by the one use that they have so far, a calendar feed."""

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from sessions.calendar.feeds.models import FeedAddress
from sessions.links.models import COUNTED_FOR, WRONG_GUESSES, WrongGuess, hash_of
from tests.factories import RoomFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def link(manager):
    """A link and its address."""
    link, token = FeedAddress.make(by=manager, room=RoomFactory())
    return link, reverse("feeds:calendar", args=[token])


def guess(client, times, *, start=0, **more):
    for number in range(start, start + times):
        answer = client.get(reverse("feeds:calendar", args=[f"guess {number}"]), **more)
    return answer


def test_only_a_hash_is_stored(link):
    made, address = link
    token = address.rsplit("/", 1)[1].removesuffix(".ics")

    stored = FeedAddress.objects.values().get()

    assert token not in str(stored)
    assert stored["token_hash"] == hash_of(token)
    assert len(token) > 40


def test_use_is_counted_and_told_to_nobody_else(client, link):
    made, address = link

    answers = [client.get(address) for _ in range(3)]

    made.refresh_from_db()
    assert made.times_used == 3
    assert timezone.now() - made.last_used_at < timedelta(minutes=1)
    assert {answer["Referrer-Policy"] for answer in answers} == {"strict-origin"}


def test_revoked_link_keeps_its_time(client, link):
    made, address = link
    now = timezone.now()

    made.revoke(now)
    made.revoke(now + timedelta(days=1))

    made.refresh_from_db()
    assert made.revoked_at == now
    assert client.get(address).status_code == 404


def test_guesses_are_throttled_and_keep_nobody_from_their_link(client, link):
    made, address = link
    now = timezone.now()
    assert guess(client, WRONG_GUESSES).status_code == 404

    throttled = guess(client, 1, start=99)

    assert (throttled.status_code, throttled["Retry-After"]) == (429, "900")
    assert WrongGuess.objects.count() == WRONG_GUESSES
    assert client.get(address).status_code == 200  # somebody else in the same house
    assert guess(client, 1, REMOTE_ADDR="192.0.2.7").status_code == 404
    with time_machine.travel(now + COUNTED_FOR + timedelta(minutes=1)):
        assert guess(client, 1).status_code == 404


def test_calendar_program_that_asks_a_revoked_link_is_no_guesser(client, link):
    made, address = link
    made.revoke(timezone.now())

    for _ in range(WRONG_GUESSES + 1):
        assert client.get(address).status_code == 404

    assert not WrongGuess.objects.exists()


def test_old_guesses_are_forgotten(client, link):
    guess(client, 2)
    now = timezone.now()

    assert WrongGuess.objects.forget_old(now) == 0
    assert WrongGuess.objects.forget_old(now + COUNTED_FOR) == 2


def test_history_says_who_revoked_it_and_keeps_no_secret(client_of, manager, engineer):
    feed, token = FeedAddress.make(by=engineer, room=RoomFactory())
    feed.note_use(timezone.now())

    client_of(manager).post(reverse("feeds:revoke", args=[feed.pk]))
    client_of(manager).post(reverse("feeds:revoke", args=[feed.pk]))

    revoked, made = feed.history.all()
    assert (revoked.history_type, revoked.history_user) == ("~", manager)
    assert revoked.revoked_at is not None
    assert made.history_type == "+"
    assert not {"token_hash", "times_used"} & {field.name for field in made._meta.fields}
