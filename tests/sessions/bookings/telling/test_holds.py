"""Holds, challenges and steps: who is told what, and what happens when nobody can be."""

import socket
from datetime import timedelta

import pytest
from django.db import transaction
from django.urls import reverse

from sessions.bookings.actions import set_status
from sessions.bookings.challenges.actions import challenge_hold, lapse_due, withdraw_challenge
from sessions.bookings.models import Challenge, RecordingSession, Status
from sessions.letters.models import Letter, LetterState
from sessions.letters.sending import send
from sessions.rooms.models import Studio
from studio.models import User
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UserFactory,
)
from tests.sessions.bookings.challenges.lines import ASKED, at
from tests.sessions.bookings.challenges.servers import UNKNOWN
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db
DEADLINE = ASKED + timedelta(hours=24)
HOLDER, CHALLENGER, ENGINEER, THIRD = (
    "label@a.example",
    "band@b.example",
    "ed@c.example",
    "d@d.example",
)
HOUSE, ACTS = "odile@quay-steps.example", "acts@quay-steps.example"


@pytest.fixture(autouse=True)
def _in_may():
    with at(ASKED):
        yield


@pytest.fixture
def manager(manager):
    """Who acts; the other manager has a house copy."""
    UserFactory(role="manager", email=HOUSE)
    manager.email = ACTS
    manager.save()
    return manager


@pytest.fixture
def line(manager):
    """Three holds of three clients for one room; the first has an engineer too."""
    room = RoomFactory(name="Bread Room")
    engineer = PersonFactory(bookable=True, email=ENGINEER)
    line = [
        booked(
            manager,
            title=title,
            project=ProjectFactory(client=ClientFactory(email=email)),
            rooms=[room],
            people=people,
            queue_behind=True,
        )
        for title, email, people in (
            ("Sea songs", HOLDER, [engineer]),
            ("Brass overdubs", CHALLENGER, []),
            ("Readings", THIRD, []),
        )
    ]
    Letter.objects.update(state=LetterState.SENT)
    return line


@pytest.fixture
def told(django_capture_on_commit_callbacks, mailoutbox):
    """`told(action, ...)`: {(address, subject)} of the letters that went out by it."""

    def do(action, *args, **kwargs):
        send(Letter.objects.all())  # of what was done before
        mailoutbox.clear()
        with django_capture_on_commit_callbacks(execute=True):
            action(*args, **kwargs)
        return {(address, letter.subject) for letter in mailoutbox for address in letter.to}

    return do


def to(addresses, subject):
    return {(address, f"{subject}, Mon 1 Jun 2026, 11:00") for address in addresses}


def for_house(subject, further, address=HOUSE):
    """One house copy of all that a press has done."""
    more = f"{further} more session{'s' if further > 1 else ''}"
    return {(address, f"{subject}, Mon 1 Jun 2026, 11:00, and {more}")}


def test_challenge_tells_both_sides_and_the_managers(line, manager, told):
    letters = told(challenge_hold, line[0], challenger=line[1], by=manager)

    until = "Thu 21 May 2026, 10:00"
    assert letters == (
        to([HOLDER], f"Please decide by {until} (BST): Sea songs")
        | for_house(f"Confirm or release by {until} (BST): Sea songs", 1)
        | to([CHALLENGER], "Your challenge is waiting for an answer: Brass overdubs")
    )


def test_letter_says_the_deadline_with_its_zone_and_when_the_session_is(
    line, manager, told, mailoutbox
):
    told(challenge_hold, line[0], challenger=line[1], by=manager)

    [letter] = [letter for letter in mailoutbox if letter.to == [HOLDER]]
    assert "by Thu 21 May 2026, 10:00 (BST)" in " ".join(letter.body.split())
    assert "When: Mon 1 Jun 2026, 11:00 to 15:00 (BST)" in letter.body
    assert "Status: first hold" in letter.body
    assert letter.body.endswith("Quay Steps Studio\n")


def test_one_client_does_not_learn_of_the_other(line, manager, told, mailoutbox):
    told(challenge_hold, line[0], challenger=line[1], by=manager)

    assert mailoutbox
    for letter in mailoutbox:
        other = "Brass overdubs" if "Sea songs" in letter.subject else "Sea songs"
        assert (other in letter.body) == (letter.to == [HOUSE])
        assert len(letter.to) == 1
        assert letter.cc == letter.bcc == []


def test_confirmation_tells_the_holder_and_who_waited(line, manager, told):
    challenge_hold(line[0], challenger=line[1], by=manager)

    assert told(set_status, line[0], to=Status.CONFIRMED, by=manager) == (
        to([HOLDER, ENGINEER], "Confirmed: Sea songs")
        | for_house("Confirmed: Sea songs", 1)
        | to([CHALLENGER], "The hold ahead of yours was confirmed: Brass overdubs")
    )


@pytest.mark.parametrize("step", [Status.ENQUIRY, Status.CANCELLED])
def test_release_tells_the_holder_the_winner_and_who_moves_up(line, manager, told, step):
    challenge_hold(line[0], challenger=line[1], by=manager)

    assert told(set_status, line[0], to=step, by=manager) == (
        to([HOLDER, ENGINEER], "Hold released: Sea songs")
        | for_house("Hold released: Sea songs", 2)
        | to([CHALLENGER], "The time is yours, confirm at once: Brass overdubs")
        | to([THIRD], "Moved up to second hold: Readings")
    )


def test_release_without_a_challenge_tells_who_moves_up(line, manager, told):
    assert told(set_status, line[0], to=Status.CANCELLED, by=manager) == (
        to([HOLDER, ENGINEER], "Hold released: Sea songs")
        | for_house("Hold released: Sea songs", 2)
        | to([CHALLENGER], "Moved up to first hold: Brass overdubs")
        | to([THIRD], "Moved up to second hold: Readings")
    )


def test_lapse_tells_everyone_once(line, manager, told):
    challenge_hold(line[0], challenger=line[1], by=manager)

    assert told(lapse_due, DEADLINE) == (
        to([HOLDER], "Hold lapsed: Sea songs")
        | to([ENGINEER], "Hold released: Sea songs")
        | for_house("Hold lapsed: Sea songs", 2)
        | for_house("Hold lapsed: Sea songs", 2, ACTS)
        | to([CHALLENGER], "The time is yours, confirm at once: Brass overdubs")
        | to([THIRD], "Moved up to second hold: Readings")
    )
    assert told(lapse_due, DEADLINE) == set()


def test_third_hold_that_wins_is_told_that_it_waits_on(line, manager, told, mailoutbox):
    challenge_hold(line[0], challenger=line[2], by=manager)

    letters = told(lapse_due, DEADLINE)

    assert to([THIRD], "You have moved up: Readings") <= letters
    [letter] = [letter for letter in mailoutbox if letter.to == [THIRD]]
    assert "cannot be confirmed yet" in letter.body
    assert "Status: second hold" in letter.body


def test_challenge_that_is_taken_back_is_told_to_the_holder(line, manager, told):
    challenge = challenge_hold(line[0], challenger=line[1], by=manager)

    assert told(withdraw_challenge, challenge, by=manager) == (
        to([HOLDER], "No answer is needed any more: Sea songs")
        | for_house("No answer is needed any more: Sea songs", 1)
        | to([CHALLENGER], "Your challenge is withdrawn: Brass overdubs")
    )


def test_cancelled_session_is_told(line, manager, told):
    set_status(line[0], to=Status.CONFIRMED, by=manager)

    letters = told(set_status, line[0], to=Status.CANCELLED, by=manager)

    assert to([HOLDER], "Session cancelled: Sea songs") <= letters


def test_steps_of_the_day_are_the_houses_own(line, manager, told):
    set_status(line[0], to=Status.CONFIRMED, by=manager)

    assert told(set_status, line[0], to=Status.UNDER_WAY, by=manager) == set()
    assert told(set_status, line[0], to=Status.WRAPPED, by=manager) == set()


def test_manager_who_has_left_is_not_told(line, manager, told):
    User.objects.filter(email=HOUSE).update(is_active=False)

    assert HOUSE not in dict(told(set_status, line[0], to=Status.CONFIRMED, by=manager))


def test_letters_come_from_the_houses_sender(line, manager, told, mailoutbox):
    Studio.objects.create(pk=1, name="Quay Steps", sender="book@quay-steps.example")

    told(set_status, line[0], to=Status.CONFIRMED, by=manager)

    assert {letter.from_email for letter in mailoutbox} == {"Quay Steps <book@quay-steps.example>"}


def test_words_are_not_escaped_in_plain_text(line, manager, told):
    RecordingSession.objects.filter(pk=line[0].pk).update(title="Rise & “Fall” <two> voices")

    letters = told(set_status, line[0], to=Status.CONFIRMED, by=manager)

    assert to([HOLDER], "Confirmed: Rise & “Fall” <two> voices") <= letters


def test_nobody_is_told_of_what_was_undone(line, manager, told):
    def undone():
        with transaction.atomic():
            set_status(line[0], to=Status.CONFIRMED, by=manager)
            transaction.set_rollback(True)

    assert told(undone) == set()


# When the mail server fails


def confirm(client, session):
    url = reverse("bookings:status", args=[session.pk])
    return client.post(url, {"to": "confirmed", "told": "send"}, follow=True)


@pytest.fixture
def no_server(settings):
    """Nothing listens there: a port that was free a moment ago."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        settings.EMAIL_PORT = free.getsockname()[1]
    settings.EMAIL_HOST = "127.0.0.1"
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"


@pytest.mark.usefixtures("no_server")
def test_server_that_is_gone_undoes_nothing_and_is_logged(
    line, manager, caplog, django_capture_on_commit_callbacks
):
    challenge_hold(line[0], challenger=line[1], by=manager)

    with django_capture_on_commit_callbacks(execute=True):
        assert lapse_due(DEADLINE) == [line[0]]

    line[0].refresh_from_db()
    assert line[0].status == Status.CANCELLED
    assert Challenge.objects.get().outcome == "lapsed"
    assert HOLDER in Letter.objects.waiting().values_list("to", flat=True)
    assert "Connection refused" in caplog.text


@pytest.mark.usefixtures("real_database", "no_server")
def test_page_says_who_could_not_be_told(line, manager, client_of):
    page = confirm(client_of(manager), line[0])

    assert "Saved, but the mail server cannot be reached: the e-mail to" in page.text
    assert f"{ENGINEER}, {HOLDER}, {HOUSE} waits and is sent when it is back." in page.text
    line[0].refresh_from_db()
    assert line[0].status == Status.CONFIRMED


@pytest.mark.usefixtures("real_database")
def test_refused_address_does_not_keep_the_others_from_being_told(
    line, manager, client_of, settings, mailoutbox
):
    settings.EMAIL_BACKEND = "tests.sessions.bookings.challenges.servers.PickyServer"
    client = line[0].project.client
    client.email = UNKNOWN
    client.save()
    mailoutbox.clear()

    page = confirm(client_of(manager), line[0])

    assert f"refused the e-mail to {UNKNOWN}. Let" in page.text
    assert {address for letter in mailoutbox for address in letter.to} == {ENGINEER, HOUSE}
