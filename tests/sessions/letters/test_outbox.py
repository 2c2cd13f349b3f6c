"""Letters: written with what they tell of, sent after it, each once."""

from datetime import timedelta

import pytest
from django.core import mail
from django.db import transaction
from django.utils import timezone

from sessions.letters.models import Letter, LetterState
from sessions.letters.outbox import GIVEN_UP_AFTER, Draft, post, send
from tests.factories import LetterFactory, RecordingSessionFactory
from tests.sessions.bookings.challenges.servers import UNKNOWN

pytestmark = pytest.mark.django_db
CALENDAR_FILE = ("session.ics", "text/calendar", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")


@pytest.fixture
def session():
    return RecordingSessionFactory()


def test_letter_is_sent_after_the_commit_with_its_file(
    session, manager, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        draft = Draft("band@b.example", "Confirmed:\nSea songs", "See you.\n", (CALENDAR_FILE,))
        post(session, kind="confirmed", drafts=[draft], sender="book@a.example", by=manager)
        assert mail.outbox == []

    [sent] = mail.outbox
    letter = Letter.objects.get()
    assert (sent.to, sent.subject, sent.from_email) == (
        ["band@b.example"],
        "Confirmed: Sea songs",
        "book@a.example",
    )
    assert sent.attachments == [("session.ics", CALENDAR_FILE[2].decode(), "text/calendar")]
    assert sent.extra_headers == {"Message-ID": f"<{letter.message_id}@a.example>"}
    assert (letter.state, letter.about, letter.written_by) == (LetterState.SENT, session, manager)


def test_what_is_undone_leaves_no_letter(session, manager, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        post(session, kind="confirmed", drafts=[Draft("a@b.example", "S", "B")], by=manager)
        transaction.set_rollback(True)

    assert (mail.outbox, Letter.objects.count()) == ([], 0)


def test_refused_address_fails_and_the_others_go(settings):
    settings.EMAIL_BACKEND = "tests.sessions.bookings.challenges.servers.PickyServer"
    letters = [LetterFactory(), LetterFactory(to=UNKNOWN), LetterFactory()]

    send(Letter.objects.all())

    states = [Letter.objects.get(pk=letter.pk).state for letter in letters]
    assert states == [LetterState.SENT, LetterState.FAILED, LetterState.SENT]
    assert "No such mailbox" in Letter.objects.get(to=UNKNOWN).error


def test_letters_wait_while_the_server_is_gone_and_go_when_it_is_back(settings):
    LetterFactory.create_batch(2)
    settings.EMAIL_BACKEND = "tests.sessions.letters.servers.GoneServer"
    send(Letter.objects.all())

    assert set(Letter.objects.values_list("state", "taken_up_at")) == {(LetterState.WAITING, None)}
    assert Letter.objects.filter(error__contains="Connection refused").count() == 2

    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    send(Letter.objects.all())

    assert set(Letter.objects.values_list("state", "error")) == {(LetterState.SENT, "")}
    assert len(mail.outbox) == 2


def test_letter_that_cannot_be_written_as_mail_keeps_no_other_from_going():
    LetterFactory(to="a@b.example\nBcc: everybody@c.example")
    LetterFactory(to="band@b.example")

    send(Letter.objects.all())

    assert [letter.to for letter in mail.outbox] == [["band@b.example"]]
    assert Letter.objects.get(to__contains="Bcc").state == LetterState.FAILED


def test_letter_is_sent_once_and_taken_up_again_only_after_whoever_had_it_is_gone():
    now = timezone.now()
    LetterFactory(taken_up_at=now - timedelta(minutes=1))
    abandoned = LetterFactory(taken_up_at=now - GIVEN_UP_AFTER - timedelta(minutes=1))

    send(Letter.objects.all())
    send(Letter.objects.all())

    assert [letter.to for letter in mail.outbox] == [[abandoned.to]]
