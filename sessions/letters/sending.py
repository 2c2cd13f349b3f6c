"""Sending what waits in the outbox: in order, each once, whatever the mail server does."""

import logging
from datetime import timedelta
from smtplib import (
    SMTPDataError,
    SMTPNotSupportedError,
    SMTPRecipientsRefused,
    SMTPSenderRefused,
)
from time import monotonic

from django.conf import settings
from django.core.mail import get_connection
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from sessions.letters.mime import as_message
from sessions.letters.models import Letter, LetterState
from sessions.unavailable import unavailable

REFUSED = (SMTPRecipientsRefused, SMTPSenderRefused, SMTPDataError, SMTPNotSupportedError)
GIVEN_UP_AFTER = timedelta(minutes=10)  # whoever took a letter up and did not finish is gone
TRIED_FOR = timedelta(days=5)  # where a server says "not now" (RFC 5321, section 4.5.4.1)
WHILE_SOMEBODY_WAITS = timedelta(seconds=10)  # for a page; the rest is the worker's
BREAKS = 2  # of the connection, one after the other: the server is gone, it is not the letter

logger = logging.getLogger(__name__)


def mail_is_sent() -> bool:
    """Whether a mail server is named: without one letters are only printed, where a log may keep them."""
    return settings.EMAIL_BACKEND != "django.core.mail.backends.console.EmailBackend"


def send(letters: QuerySet[Letter], *, within: timedelta | None = None) -> None:
    """Send those of the letters that wait and are due, over one connection, beginning none after
    `within`.

    A refused address does not keep the others from being told; when a server is gone, those left
    wait. A letter at which the connection broke comes last, so that the others go even if it was
    the letter that broke it. What one address is to read arrives in the order in which it was written. Two who send at
    once never send one letter twice; a crash in between may.
    """
    began, breaks, connection = monotonic(), 0, None
    due = letters.waiting().due(timezone.now())
    left = list(due.order_by("may_have_gone", "pk"))
    try:
        for number, letter in enumerate(left):
            if within and monotonic() - began > within.total_seconds():
                return
            if not _take_up(letter):
                continue
            try:
                connection = connection or _connection()
            except OSError as error:
                _leave(left[number:], letter, error)
                return
            try:
                _send_one(letter, connection)
                breaks = 0
            except OSError as error:
                _close(connection)
                connection, breaks = None, breaks + 1
                _put_back(letter, error, may_have_gone=True)
                if breaks == BREAKS:
                    _leave(left[number + 1 :], None, error)
                    return
    finally:
        _close(connection)


def _take_up(letter: Letter) -> bool:
    """Whether it is ours to send now. Where we die before its answer, it may have gone."""
    now = timezone.now()
    free = Q(taken_up_at=None) | Q(taken_up_at__lt=now - GIVEN_UP_AFTER)
    free |= Q(taken_up_at__gt=now + GIVEN_UP_AFTER)  # the clock was set back since
    # By the key, not by the time: the clock may have been set back between two letters.
    earlier = Letter.objects.waiting().filter(pk__lt=letter.pk, to=OuterRef("to"))
    mine = Letter.objects.filter(free, ~Exists(earlier), pk=letter.pk).waiting()
    return bool(mine.update(taken_up_at=now))


def _connection():
    connection = get_connection()
    connection.open()
    return connection


def _send_one(letter: Letter, connection) -> None:
    """Raises OSError where the connection breaks: what became of the letter, nobody knows then."""
    try:
        connection.send_messages([as_message(letter)])
    except REFUSED as refusal:
        if _is_for_now(refusal) and letter.written_at > timezone.now() - TRIED_FOR:
            _put_back(letter, refusal)
        else:
            _fail(letter, refusal)
    except OSError:
        raise
    except Exception as error:  # it cannot be written as a mail: the others can
        if unavailable(error):
            raise  # nor can anything be read: whoever takes it up after this one sends it
        logger.exception("Letter %s cannot be sent", letter.pk)
        _fail(letter, error)
    else:
        letter.state, letter.error, letter.sent_at = LetterState.SENT, "", timezone.now()
        _done(letter)


def _is_for_now(refusal: Exception) -> bool:
    """A code that begins with 4: the same letter may be taken later (RFC 5321, section 4.2.1)."""
    if isinstance(refusal, SMTPRecipientsRefused):
        codes = [code for code, _ in refusal.recipients.values()]
    else:
        codes = [getattr(refusal, "smtp_code", 500)]
    return all(400 <= code < 500 for code in codes)


def _fail(letter: Letter, error: Exception) -> None:
    logger.warning("Letter %s failed: %s", letter.pk, error)
    letter.state, letter.error = LetterState.FAILED, _in_words(error)
    _done(letter)


def _done(letter: Letter) -> None:
    """Nobody is at it any more: one that failed may be tried again at once."""
    letter.may_have_gone, letter.taken_up_at = False, None
    letter.forget_secret()
    letter.save(
        update_fields=[
            "state",
            "error",
            "sent_at",
            "may_have_gone",
            "taken_up_at",
            "text",
            "html",
            "secret",
            "secret_forgotten",
        ]
    )


def _put_back(letter: Letter, error: Exception, *, may_have_gone: bool = False) -> None:
    logger.warning("Letter %s waits: %s", letter.pk, error)
    may_have_gone = may_have_gone or letter.may_have_gone
    Letter.objects.filter(pk=letter.pk).update(
        error=_in_words(error), taken_up_at=None, may_have_gone=may_have_gone
    )


def _leave(left: list[Letter], taken_up: Letter | None, error: Exception) -> None:
    """Whatever a mail server does, what it tells of stands."""
    if taken_up:
        _put_back(taken_up, error)
    logger.warning("Letters wait: the mail server cannot be reached: %s", error)
    waiting = Letter.objects.filter(pk__in=[letter.pk for letter in left], taken_up_at=None)
    waiting.waiting().update(error=_in_words(error))


def _in_words(error: Exception) -> str:
    """As the server said it."""
    if isinstance(error, SMTPRecipientsRefused):
        answers = error.recipients.values()
    elif hasattr(error, "smtp_error"):
        answers = [(error.smtp_code, error.smtp_error)]
    else:
        return str(error) or type(error).__name__
    return "; ".join(
        f"{code} {said.decode(errors='replace') if isinstance(said, bytes) else said}"
        for code, said in answers
    )


def _close(connection) -> None:
    """What a server says when it is left changes nothing."""
    try:
        if connection:
            connection.close()
    except OSError:
        logger.info("The mail server did not say goodbye")
