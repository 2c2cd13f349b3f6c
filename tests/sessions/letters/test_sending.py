"""Letters go to a real SMTP server, which dies, is slow, and refuses an address: what was written stands,
each is sent once, and all that can be are sent when it is back."""

from datetime import timedelta
from threading import Barrier, Thread

import pytest
from django.db import connection
from django.utils import timezone

from sessions.letters.actions import send_again
from sessions.letters.models import Letter, LetterState
from sessions.letters.sending import TRIED_FOR, send
from tests.factories import LetterFactory
from tests.mail_server import mail_server

pytestmark = pytest.mark.django_db
WAITING, SENT, FAILED = LetterState.WAITING, LetterState.SENT, LetterState.FAILED


@pytest.fixture
def server():
    with mail_server() as running:
        yield running


def states():
    return list(Letter.objects.order_by("pk").values_list("state", flat=True))


def subjects(server):
    return [message["Subject"] for _, message in server.taken]


def test_letters_arrive_as_they_were_written(server):
    letter = LetterFactory(subject="Moved: Säume & “Fall”", sender="Quay Steps <book@q.example>")

    send(Letter.objects.all())

    [(to, message)] = server.taken
    assert (to, message["To"], message["Subject"]) == (letter.to, letter.to, letter.subject)
    assert message["From"].addresses[0].addr_spec == "book@q.example"
    assert message["From"].addresses[0].display_name == "Quay Steps"
    assert message["Message-ID"] == f"<{letter.message_id}@q.example>"
    assert message.get_body(("plain",)).get_content().replace("\r\n", "\n") == letter.text
    assert states() == [SENT]


def test_refused_address_fails_with_the_servers_words_and_the_others_go(server):
    letters = LetterFactory.create_batch(3)
    server.refused[letters[1].to] = "550 5.1.1 No such mailbox"

    send(Letter.objects.all())

    assert states() == [SENT, FAILED, SENT]
    assert Letter.objects.get(state=FAILED).error == "550 5.1.1 No such mailbox"
    assert len(server.taken) == 2


def test_refused_letter_goes_at_once_when_it_is_sent_again(server, manager):
    letter = LetterFactory()
    server.refused[letter.to] = "550 5.1.1 No such mailbox"
    send(Letter.objects.all())
    server.refused.clear()

    send_again(letter, by=manager)
    send(Letter.objects.all())

    assert states() == [SENT]
    assert len(server.taken) == 1


def test_not_now_is_tried_again_with_the_same_message_id_and_nothing_overtakes_it(server):
    """RFC 5321, section 4.2.1: 4yz is a transient negative answer."""
    first = LetterFactory(to="grey@b.example", subject="First")
    LetterFactory(to="grey@b.example", subject="Second")
    LetterFactory(subject="To another")
    server.refused["grey@b.example"] = "451 4.7.1 Try again later"

    send(Letter.objects.all())
    assert (states(), subjects(server)) == ([WAITING, WAITING, SENT], ["To another"])
    assert Letter.objects.get(pk=first.pk).error == "451 4.7.1 Try again later"

    server.refused.clear()
    send(Letter.objects.untried())
    assert subjects(server) == ["To another"]
    send(Letter.objects.all())
    assert (states(), subjects(server)[1:]) == ([SENT, SENT, SENT], ["First", "Second"])
    assert server.taken[1][1]["Message-ID"] == f"<{first.message_id}@localhost>"


def test_not_now_for_days_is_given_up(server):
    letter = LetterFactory(written_at=timezone.now() - TRIED_FOR - timedelta(hours=1))
    server.refused[letter.to] = "452 4.2.2 Mailbox full"

    send(Letter.objects.all())

    assert states() == [FAILED]


def test_dead_server_leaves_all_waiting_and_gets_them_in_order_when_it_is_back(server):
    LetterFactory.create_batch(3)
    server.stop()

    send(Letter.objects.all())

    assert states() == [WAITING] * 3
    assert Letter.objects.filter(error__contains="refused", taken_up_at=None).count() == 3
    assert not Letter.objects.filter(may_have_gone=True).exists()

    server.start()
    send(Letter.objects.untried())
    assert server.taken == []
    send(Letter.objects.all())
    assert states() == [SENT] * 3
    assert subjects(server) == list(Letter.objects.order_by("pk").values_list("subject", flat=True))


def test_letter_whose_answer_never_came_goes_again_as_the_same_and_the_rest_go_once(server):
    LetterFactory.create_batch(3)
    server.cuts = 1

    send(Letter.objects.all())

    doubtful = Letter.objects.order_by("pk").first()
    assert (states(), doubtful.may_have_gone) == ([WAITING, SENT, SENT], True)
    assert not Letter.objects.replaceable().filter(pk=doubtful.pk).exists()

    send(Letter.objects.all())

    assert states() == [SENT] * 3
    ids = [message["Message-ID"] for _, message in server.taken]
    assert (len(ids), len(set(ids)), ids.count(ids[0])) == (4, 3, 2)


def test_server_that_breaks_off_twice_running_is_gone(server):
    LetterFactory.create_batch(4)
    server.cuts = 4

    send(Letter.objects.all())

    assert (len(server.taken), states()) == (2, [WAITING] * 4)
    assert Letter.objects.not_told(timezone.now()).count() == 4


def test_one_letter_that_no_server_bears_keeps_no_other_waiting(server):
    """Whoever broke the connection comes last the next time."""
    LetterFactory.create_batch(4)
    server.cuts = 2
    send(Letter.objects.all())

    server.cuts = 0
    send(Letter.objects.all())

    assert states() == [SENT] * 4
    first, second, third, fourth = Letter.objects.order_by("pk").values_list("subject", flat=True)
    assert subjects(server)[2:] == [third, fourth, first, second]


def test_slow_server_is_waited_for_no_longer_than_the_page_may_take(server):
    LetterFactory.create_batch(3)
    server.delay = 0.4

    send(Letter.objects.all(), within=timedelta(seconds=0.2))

    assert states() == [SENT, WAITING, WAITING]


@pytest.mark.usefixtures("real_database")
def test_two_who_send_at_once_send_each_letter_once_and_in_order(server):
    for number in range(12):
        LetterFactory(to=f"reader{number % 3}@b.example", subject=f"{number}")
    at_once = Barrier(2)

    def worker():
        try:
            at_once.wait(timeout=10)
            send(Letter.objects.all())
        finally:
            connection.close()

    threads = [Thread(target=worker) for _ in range(2)]
    [thread.start() for thread in threads]
    [thread.join() for thread in threads]
    send(Letter.objects.all())  # what one left because the other had an earlier one in hand

    assert states() == [SENT] * 12
    for number in range(3):
        got = [message["Subject"] for message in server.of(f"reader{number}@b.example")]
        assert got == [f"{number + 3 * each}" for each in range(4)]


def test_server_that_does_not_answer_is_left_after_two_letters(server, settings):
    LetterFactory.create_batch(3)
    settings.EMAIL_TIMEOUT, server.delay = 1, 30

    send(Letter.objects.all())

    assert (states(), server.taken) == ([WAITING] * 3, [])
    assert Letter.objects.filter(may_have_gone=True, error__contains="timed out").count() == 2


def test_letter_that_is_to_go_later_waits_and_what_follows_it_waits_behind(server):
    later = timezone.now() + timedelta(minutes=1)
    first = LetterFactory(to="band@q.example", not_before=later)
    LetterFactory(to="band@q.example")
    LetterFactory(to="brass@q.example")

    send(Letter.objects.all())
    assert states() == [WAITING, WAITING, SENT]

    Letter.objects.filter(pk=first.pk).update(not_before=timezone.now())
    send(Letter.objects.all())
    assert states() == [SENT] * 3


def test_letter_is_late_only_after_its_time_has_come():
    long_ago, now = timezone.now() - timedelta(hours=1), timezone.now()
    soon = LetterFactory(written_at=long_ago, not_before=now + timedelta(minutes=1))
    late = LetterFactory(written_at=long_ago, not_before=long_ago)

    assert list(Letter.objects.not_told(now)) == [late]
    assert [soon.is_late, late.is_late] == [False, True]
