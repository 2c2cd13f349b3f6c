"""What a recipient thinks of the mixes that were sent: notes, and whether each is approved."""

from datetime import timedelta

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from sessions.clients.orders import MIX_KINDS
from sessions.deliverables.listening.actions import add_note, give_verdict
from sessions.deliverables.listening.models import Choice, MixNote
from sessions.deliverables.listening.song_places import SongPlace
from sessions.deliverables.models import Deliverable
from sessions.deliveries.actions import note_event
from sessions.deliveries.models import OPINIONS, Delivery, DeliveryRecipient, EventKind
from sessions.deliveries.opening.forms import TheirNoteForm, TheirVerdictForm

MOST_A_DAY = 200  # notes and verdicts of one recipient: each is a letter to the sender
KIND_OF = {
    Choice.APPROVED: EventKind.APPROVED,
    Choice.CHANGES_WANTED: EventKind.CHANGES_WANTED,
}


def mixes_of(delivery: Delivery) -> QuerySet[Deliverable]:
    mixes = delivery.deliverables.filter(kind__in=MIX_KINDS)
    return mixes.select_related("song__project").order_by("kind", "version")


def note_form(mix: Deliverable, places: list[SongPlace], **more) -> TheirNoteForm:
    return TheirNoteForm(deliverable=mix, places=places, auto_id=f"note_{mix.pk}_%s", **more)


def verdict_form(mix: Deliverable, **more) -> TheirVerdictForm:
    return TheirVerdictForm(auto_id=f"verdict_{mix.pk}_%s", **more)


def mix_opinions(delivery: Delivery, places: list[SongPlace], name: dict) -> list[dict]:
    """For each mix its two forms, with the name that is known."""
    return [
        {
            "mix": mix,
            "note": note_form(mix, places, initial=name),
            "verdict": verdict_form(mix, initial=name),
        }
        for mix in mixes_of(delivery)
    ]


def why_no_more(recipient: DeliveryRecipient) -> str:
    """A sentence, or "" while they may say more. A link may get into any hands."""
    lately = timezone.now() - timedelta(days=1)
    if recipient.events.filter(kind__in=OPINIONS, at__gt=lately).count() < MOST_A_DAY:
        return ""
    return f"{MOST_A_DAY} answers came by this link within a day. Write to the studio instead."


def _one_at_a_time(mix: Deliverable) -> None:
    Deliverable.objects.select_for_update(no_key=True).get(pk=mix.pk)


@transaction.atomic
def keep_note(recipient: DeliveryRecipient, mix: Deliverable, form: TheirNoteForm) -> None:
    """The same one sent twice is kept once."""
    _one_at_a_time(mix)
    said = form.note
    once = {name: said[name] for name in ("text", "seconds", "said_by")}
    if mix.mix_notes.filter(**once).exists():
        return
    kept = add_note(mix, **said, by=None)
    note_event(recipient, EventKind.NOTED, said_by=said["said_by"], text=_in_words(kept))


def _in_words(note: MixNote) -> str:
    place = " ".join(filter(None, (note.time, f"({note.about})" if note.about else "")))
    return f"{note.deliverable}, {place}: {note.text}" if place else note.text


@transaction.atomic
def keep_verdict(recipient: DeliveryRecipient, mix: Deliverable, form: TheirVerdictForm) -> None:
    """The same one sent twice is kept once."""
    _one_at_a_time(mix)
    said = form.cleaned_data
    newest = mix.verdicts.first()
    if newest and all(getattr(newest, name) == said[name] for name in said):
        return
    give_verdict(mix, **said, by=None)
    text = f"{mix}: {said['text']}" if said["text"] else f"{mix}"
    note_event(recipient, KIND_OF[said["choice"]], said_by=said["said_by"], text=text)
