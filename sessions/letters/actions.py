from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from gear.acting import action
from sessions.letters.models import Letter, LetterFile, LetterState, LetterTopic
from sessions.letters.outbox import send_without_worker

COPIED = ("person", "client", "kind", "subject", "text", "html", "told", "sender")


def why_not_again(letter: Letter) -> str:
    """Why the letter may not be sent again; empty where it may. Costs up to two queries."""
    if letter.state == LetterState.REPLACED:
        return "A later letter was written before this one left; that one says it all."
    if letter.state == LetterState.WAITING and not letter.error:
        return "It is about to be sent."
    if letter.secret_forgotten:
        return "Its link is kept nowhere: make a new link where this one was made."
    if letter.superseded_by():
        return f"{letter.reader} has been told something newer since."
    return ""


def address_now(letter: Letter) -> str:
    """Where its reader is written to today. Reads person and client."""
    reader = letter.person or letter.client
    return (reader and reader.email) or letter.to


@action
def send_again(letter: Letter, *, by) -> Letter:
    """Try a letter once more that failed or waits for the server; one that was sent, or whose reader
    has another address by now, goes as a copy with a Message-ID of its own. Raises ValidationError
    where it may not go."""
    letter = Letter.objects.select_for_update(of=("self",), no_key=True).get(pk=letter.pk)
    if refusal := why_not_again(letter):
        raise ValidationError(refusal)
    to = address_now(letter)
    if letter.state in (LetterState.SENT, LetterState.TOLD):
        letter = _copy(letter, to, by)
    elif letter.state == LetterState.FAILED and to != letter.to:
        _copied, letter = letter, _copy(letter, to, by)
        _copied.state = LetterState.REPLACED
        _copied.save(update_fields=["state"])
    else:
        letter.state, letter.error = LetterState.WAITING, ""
        letter.save(update_fields=["state", "error"])
    transaction.on_commit(lambda: send_without_worker({letter.to}), robust=True)
    return letter


def _copy(letter: Letter, to: str, by) -> Letter:
    facts = {name: getattr(letter, name) for name in COPIED}
    copy = Letter.objects.create(to=to, copy_of=letter, written_by=by, **facts)
    LetterTopic.objects.bulk_create(
        LetterTopic(letter=copy, about_type_id=each.about_type_id, about_id=each.about_id)
        for each in letter.topics.all()
    )
    LetterFile.objects.bulk_create(
        LetterFile(
            letter=copy,
            name=each.name,
            content_type=each.content_type,
            method=each.method,
            content=each.content,
            made_by=each.made_by,
            made_of=each.made_of,
        )
        for each in letter.files.all()
    )
    return copy


@action
def note_told(letter: Letter, *, how: str, by) -> Letter:
    """Write down that the reader of a letter that failed was told all the same. Raises ValidationError
    for any other letter."""
    failed = Letter.objects.filter(pk=letter.pk, state=LetterState.FAILED)
    facts = {"told_how": how, "told_by": by, "told_at": timezone.now()}
    if not failed.update(state=LetterState.TOLD, **facts):
        raise ValidationError("Only of a letter that failed is it noted how its reader was told.")
    letter.refresh_from_db()
    return letter
