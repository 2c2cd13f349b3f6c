"""What was said about the rough mixes: the producer's notes at home, and her verdicts."""

from datetime import timedelta

from sessions.clients.orders import DeliverableKind
from sessions.deliverables.listening.actions import add_note, give_verdict
from sessions.deliverables.listening.models import Choice, MixNote, NoteState
from studio.demo.days import as_of

PRODUCER = "Rosamund Keel"


def listen_to_rough_mixes(work) -> None:
    mixes = work.songs["Neap and Spring"].deliverables.filter(kind=DeliverableKind.ROUGH_MIX)
    first, second, _ = mixes.order_by("version")
    with as_of(first.created_at + timedelta(hours=13)):
        for seconds, text in [
            (11.9, "The piano is on top of the cornet here. Could it be a little darker?"),
            (52, "Brass pair up from here on, they carry the tune."),
            (None, "Drums sit well. Leave them."),
        ]:
            add_note(first, text=text, seconds=seconds, said_by=PRODUCER, by=None)
        give_verdict(
            first,
            choice=Choice.CHANGES_WANTED,
            text="Two places, both noted. The quartet should learn from the next one.",
            said_by=PRODUCER,
            by=None,
        )
    with as_of(second.created_at + timedelta(hours=2)):
        for note in MixNote.objects.filter(deliverable=first, seconds__gt=0):
            note.state, note.answer = NoteState.DONE, "Done in rough mix 2."
            note.save()
        add_note(
            second,
            text="The euphonium may come up under this verse once the quartet is on.",
            seconds=29.2,
            said_by=PRODUCER,
            by=work.engineer,
        )
        give_verdict(
            second,
            choice=Choice.APPROVED,
            text="On the telephone: good to sing to.",
            said_by=PRODUCER,
            by=work.engineer,
        )
