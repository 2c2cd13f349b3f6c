"""What a deliverable's page shows of listening: the player, versions, notes and verdicts."""

from django.urls import reverse

from sessions.clients.orders import MIX_KINDS
from sessions.deliverables.listening.forms import BarOneForm, NoteForm, VerdictForm
from sessions.deliverables.listening.player import player_of, with_what_plays
from sessions.deliverables.models import Deliverable, DeliverableFile


def listening_of(deliverable: Deliverable) -> dict:
    """Of a mix all versions, which can be compared; of anything else its own files. A constant number
    of queries; `deliverable.song` comes loaded with its project."""
    song, is_mix = deliverable.song, deliverable.kind in MIX_KINDS
    which = (
        {"deliverable__song": song, "deliverable__kind": deliverable.kind}
        if is_mix
        else {"deliverable": deliverable}
    )
    files = with_what_plays(DeliverableFile.objects.filter(**which))
    player = player_of(files, song=song, address_of=_address, here=deliverable)
    return {
        "player": player,
        "notes": deliverable.mix_notes.in_order().select_related("section", "line__section", "by"),
        "note_form": NoteForm(deliverable=deliverable, places=player.places),
        "bar_one_form": BarOneForm(auto_id="bar_one_%s"),
        "verdicts": deliverable.verdicts.select_related("by") if is_mix else (),
        "verdict_form": VerdictForm(auto_id="verdict_%s") if is_mix else None,
    }


def _address(file: DeliverableFile, light: bool) -> str:
    if light:
        return reverse("listening:light", args=[file.pk])
    return reverse("deliverables:download", args=[file.pk]) + "?listen"
