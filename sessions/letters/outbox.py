"""The outbox: letters are written in the transaction of what they tell of, and sent after it.

A mail that cannot be sent never undoes what it tells of: the letter waits, or says why it failed.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime

from django.contrib import messages
from django.db import transaction
from django.db.models import Model, QuerySet
from django.utils import timezone

from sessions.letters.models import Letter, LetterFile, LetterState, LetterTopic
from sessions.letters.sending import WHILE_SOMEBODY_WAITS, send
from sessions.letters.text import LetterText
from sessions.tasks.models import DEFAULT, Worker


@dataclass(frozen=True)
class CalendarPart:
    """A calendar object of one method, which stands in its body, too (RFC 5546, section 1.4)."""

    method: str
    content: bytes
    name: str = "session.ics"


@dataclass(frozen=True)
class FileToMake:
    """A file that takes long to make, so that it is made when the letter goes: `by` is the path of a
    function in the code, which is given the key `of` what it is made of and returns the bytes."""

    name: str
    content_type: str
    by: str
    of: int


@dataclass(frozen=True, kw_only=True)
class Draft:
    """What one letter says, and to whom; files are (name, content type, content).

    `about`: where that differs from what the others of the same `post` are about. `told` is kept for
    whoever writes the next letter. `secret` is a piece of the text that is kept no longer than until
    it is sent.
    """

    to: str
    subject: str
    text: LetterText
    person: Model | None = None
    client: Model | None = None
    about: tuple[Model, ...] = ()
    files: tuple[tuple[str, str, bytes], ...] = ()
    files_to_make: tuple[FileToMake, ...] = ()
    calendars: tuple[CalendarPart, ...] = ()
    told: dict = field(default_factory=dict)
    secret: str = ""


@transaction.atomic
def post(
    about: Model | Iterable[Model],
    *,
    kind: str,
    drafts: Iterable[Draft],
    sender: str = "",
    not_before: datetime | None = None,
    by,
) -> list[Letter]:
    """Write the letters, and send them once the transaction that is open has been committed: where
    a worker is alive it does so, and nobody waits for a mail server.

    `not_before`: they wait until then, and what is written to their readers meanwhile behind them.
    Without a worker nobody would come back for them, so they go at once.
    """
    things = (about,) if isinstance(about, Model) else tuple(about)
    if not_before and not Worker.objects.alive(DEFAULT):
        not_before = None
    letters = [
        _write(draft, things, kind=kind, sender=sender, not_before=not_before, by=by)
        for draft in drafts
    ]
    addresses = {letter.to for letter in letters}
    transaction.on_commit(lambda: send_without_worker(addresses), robust=True)
    return letters


def _write(
    draft: Draft,
    things: tuple[Model, ...],
    *,
    kind: str,
    sender: str,
    not_before: datetime | None,
    by,
) -> Letter:
    subject = " ".join(draft.subject.split())[:250]  # a header is one line
    letter = Letter.objects.create(
        to=draft.to,
        person=draft.person,
        client=draft.client,
        kind=kind,
        subject=subject,
        text=draft.text.as_text(),
        html=draft.text.as_html(subject),
        told=draft.told,
        secret=draft.secret,
        sender=sender,
        not_before=not_before,
        written_at=timezone.now(),
        written_by=by,
    )
    LetterTopic.objects.bulk_create(
        LetterTopic(letter=letter, about=thing) for thing in draft.about or things
    )
    files = [
        LetterFile(letter=letter, name=name, content_type=content_type, content=content)
        for name, content_type, content in draft.files
    ]
    files += [
        LetterFile(
            letter=letter,
            name=file.name,
            content_type=file.content_type,
            made_by=file.by,
            made_of=file.of,
        )
        for file in draft.files_to_make
    ]
    files += [
        LetterFile(
            letter=letter,
            name=part.name,
            content_type="text/calendar",
            method=part.method,
            content=part.content,
        )
        for part in draft.calendars
    ]
    LetterFile.objects.bulk_create(files)
    return letter


def replace(letters: QuerySet[Letter]) -> list[int]:
    """Take back those of the letters that no reader can have seen, and return their keys: what is
    written now, in the same transaction, says it all. The others have been heard, or are about to be."""
    keys = list(
        letters.replaceable()
        .select_for_update(of=("self",), no_key=True)
        .values_list("pk", flat=True)
    )
    Letter.objects.filter(pk__in=keys).update(state=LetterState.REPLACED)
    return keys


def send_without_worker(addresses: set[str]) -> None:
    """With what waits for those addresses from before, which they are to read first."""
    if not Worker.objects.alive(DEFAULT):
        send(Letter.objects.filter(to__in=addresses), within=WHILE_SOMEBODY_WAITS)


@contextmanager
def warning_of_unsent_letters(request) -> Iterator[None]:
    """What is done within it may write letters: the next page says which could not be sent at once;
    those that wait for the worker may still be."""
    began = timezone.now()
    yield
    transaction.on_commit(lambda: _warn_of_unsent(request, began))


def _warn_of_unsent(request, began: datetime) -> None:
    written = Letter.objects.filter(written_by=request.user, written_at__gte=began)
    pairs = written.not_sent().exclude(error="").values_list("state", "to")
    failed = sorted({to for state, to in pairs if state == LetterState.FAILED})
    waiting = sorted({to for state, to in pairs if state == LetterState.WAITING})
    if failed:
        messages.warning(
            request,
            f"Saved, but the mail server refused the e-mail to {', '.join(failed)}. "
            "Let them know another way.",
        )
    if waiting:
        messages.warning(
            request,
            f"Saved, but the mail server cannot be reached: the e-mail to {', '.join(waiting)} waits "
            "and is sent when it is back.",
        )
