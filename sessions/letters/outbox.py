"""The outbox: letters are written in the transaction of what they tell of, and sent after it.

A mail that cannot be sent never undoes what it tells of: the letter waits, or says why it failed.
"""

import logging
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from smtplib import SMTPDataError, SMTPRecipientsRefused, SMTPSenderRefused

from django.contrib import messages
from django.core.mail import get_connection
from django.db import transaction
from django.db.models import Model, Q
from django.utils import timezone

from sessions.letters.models import Letter, LetterFile, LetterState
from sessions.tasks.models import DEFAULT, Worker

REFUSED = (SMTPRecipientsRefused, SMTPSenderRefused, SMTPDataError)
GIVEN_UP_AFTER = timedelta(minutes=10)  # whoever took a letter up and did not finish is gone

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Draft:
    """What one letter says, and to whom; files are (name, content type, content).

    `secret` is a piece of the body that is kept no longer than until it is sent.
    """

    to: str
    subject: str
    body: str
    files: tuple[tuple[str, str, bytes], ...] = ()
    secret: str = ""


@transaction.atomic
def post(about: Model, *, kind: str, drafts: Iterable[Draft], sender: str = "", by) -> list[Letter]:
    """Write the letters, and send them once the transaction that is open has been committed: where
    a worker is alive it does so, and nobody waits for a mail server."""
    letters = []
    for draft in drafts:
        letter = Letter.objects.create(
            to=draft.to,
            kind=kind,
            about=about,
            subject=" ".join(draft.subject.split()),  # a header is one line
            body=draft.body,
            secret=draft.secret,
            sender=sender,
            written_by=by,
        )
        LetterFile.objects.bulk_create(
            LetterFile(letter=letter, name=name, content_type=content_type, content=content)
            for name, content_type, content in draft.files
        )
        letters.append(letter)
    keys = [letter.pk for letter in letters]
    transaction.on_commit(lambda: _send_without_worker(keys), robust=True)
    return letters


def _send_without_worker(keys: list[int]) -> None:
    if not Worker.objects.alive(DEFAULT):
        send(Letter.objects.filter(pk__in=keys))


def send(letters) -> None:
    """Send those of the letters that wait, over one connection.

    A refused address does not keep the others from being told; when a server is gone, those left
    wait. Two who send at once never send one letter twice; a crash in between may.
    """
    left = list(letters.waiting().order_by("written_at", "pk"))
    if not left:
        return
    try:
        with get_connection() as connection:
            for letter in left:
                if _take_up(letter):
                    _send_one(letter, connection)
    except OSError as error:  # whatever a mail server does, what it tells of stands
        logger.exception("Letters wait: the mail server cannot be reached")
        waiting = Letter.objects.filter(pk__in=[letter.pk for letter in left]).waiting()
        waiting.update(error=str(error), taken_up_at=None)


def _take_up(letter: Letter) -> bool:
    now = timezone.now()
    free = Q(taken_up_at=None) | Q(taken_up_at__lt=now - GIVEN_UP_AFTER)
    mine = Letter.objects.filter(free, pk=letter.pk).waiting()
    return bool(mine.update(taken_up_at=now))


def _send_one(letter: Letter, connection) -> None:
    try:
        connection.send_messages([letter.as_message()])
    except Exception as error:
        if isinstance(error, OSError) and not isinstance(error, REFUSED):
            raise  # the server is gone
        logger.exception("Letter %s cannot be sent", letter.pk)
        letter.state, letter.error = LetterState.FAILED, str(error)
    else:
        letter.state, letter.error, letter.sent_at = LetterState.SENT, "", timezone.now()
    letter.forget_secret()
    letter.save(update_fields=["state", "error", "sent_at", "body", "secret"])


@contextmanager
def warning_of_unsent_letters(request) -> Iterator[None]:
    """What is done within it may write letters: the next page says which could not be sent at once;
    those that wait for the worker may still be."""
    began = timezone.now()
    yield
    transaction.on_commit(lambda: _warn_of_unsent(request, began))


def _warn_of_unsent(request, began: datetime) -> None:
    written = Letter.objects.filter(written_by=request.user, written_at__gte=began)
    addresses = sorted(set(written.not_sent().exclude(error="").values_list("to", flat=True)))
    if addresses:
        messages.warning(
            request,
            f"Saved, but the mail server refused the e-mail to {', '.join(addresses)}. "
            "Let them know another way.",
        )
