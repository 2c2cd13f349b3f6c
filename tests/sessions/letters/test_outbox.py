"""Letters: written with what they tell of, sent after it, each once."""

from datetime import timedelta

import pytest
from django.core import mail
from django.db import transaction
from django.utils import timezone

from sessions.letters.models import Letter, LetterState
from sessions.letters.outbox import Draft, post, replace
from sessions.letters.sending import GIVEN_UP_AFTER, send
from sessions.letters.text import LetterText
from tests.factories import LetterFactory, RecordingSessionFactory

pytestmark = pytest.mark.django_db
CALENDAR_FILE = ("session.ics", "text/calendar", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")


def draft(to="band@b.example", **facts):
    return Draft(to=to, subject="Moved:\nSea songs", text=LetterText(greeting="Hello,"), **facts)


@pytest.fixture
def session():
    return RecordingSessionFactory()


def test_letter_is_sent_after_the_commit_with_its_file(
    session, manager, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        drafts = [draft(files=(CALENDAR_FILE,), told={"at": "10:00"})]
        post(session, kind="moved", drafts=drafts, sender="book@a.example", by=manager)
        assert mail.outbox == []

    [sent] = mail.outbox
    letter = Letter.objects.get()
    assert (sent.to, sent.subject, sent.from_email) == (
        ["band@b.example"],
        "Moved: Sea songs",
        "book@a.example",
    )
    assert sent.attachments == [("session.ics", CALENDAR_FILE[2].decode(), "text/calendar")]
    assert sent.extra_headers == {"Message-ID": f"<{letter.message_id}@a.example>"}
    assert (letter.state, letter.written_by) == (LetterState.SENT, manager)
    assert (letter.text, letter.told) == ("Hello,\n", {"at": "10:00"})


def test_letter_may_be_about_many_things_or_those_of_its_draft(session, manager):
    other = RecordingSessionFactory()
    post(
        [session, other],
        kind="moved",
        drafts=[draft(), draft("b@b.example", about=(other,))],
        by=None,
    )

    assert [each.to for each in Letter.objects.about_thing(session)] == ["band@b.example"]
    assert Letter.objects.about_thing(other).count() == 2
    assert Letter.objects.about_things(type(session), [session.pk, other.pk]).count() == 2


def test_what_is_undone_leaves_no_letter(session, manager, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        post(session, kind="confirmed", drafts=[draft()], by=manager)
        transaction.set_rollback(True)

    assert (mail.outbox, Letter.objects.count()) == ([], 0)


def test_only_what_no_reader_can_have_seen_is_replaced_and_is_never_sent(session):
    gone = LetterFactory(may_have_gone=True)
    waiting, failed = LetterFactory(), LetterFactory(state=LetterState.FAILED)
    LetterFactory(state=LetterState.SENT)
    LetterFactory(taken_up_at=timezone.now())
    LetterFactory(secret="https://studio.example/d/abc/")

    assert set(replace(Letter.objects.all())) == {waiting.pk, failed.pk}
    assert Letter.objects.heard().count() == 4

    send(Letter.objects.filter(pk__in=[waiting.pk, failed.pk, gone.pk]))
    assert [letter.to for letter in mail.outbox] == [[gone.to]]


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
