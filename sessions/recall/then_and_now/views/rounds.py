from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from gear.editing.form_pages import confirm_page
from gear.editing.versions import EditedMeanwhile
from sessions.recall.models import Rebuild
from sessions.recall.proving.actions import NotTaken
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.actions import Harmful, RebuildRefused
from sessions.recall.rebuilds.views.common import rebuild_of
from sessions.recall.then_and_now.actions import log_turns, undo_round
from sessions.recall.then_and_now.chains import ChainSound
from sessions.recall.then_and_now.forms import TurnsForm
from sessions.recall.then_and_now.rounds import TurnedRound, turned_rounds
from sessions.recall.then_and_now.turns import ticks_of
from sessions.recall.then_and_now.views.common import (
    address_of,
    crumbs_below,
    sound_of,
    tolerance_db,
)


@require_POST
def turned(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Log that what was proposed is turned; what is not as its presser saw it is said."""
    rebuild = rebuild_of(request, pk)
    sound = sound_of(rebuild, number, tolerance_db())
    form = TurnsForm(request.POST, chain=sound.checklist)
    if not form.is_valid():
        said = [text for texts in form.errors.values() for text in texts]
        messages.warning(request, f"Nothing was logged. {' '.join(said)}")
    else:
        try:
            log_turns(form.turns(), by=request.user)
        except EditedMeanwhile as meanwhile:
            theirs = meanwhile.current
            messages.warning(
                request,
                f"Nothing was logged: {theirs.ticked_by} set one of these meanwhile. Look at the checklist, "
                "then measure again.",
            )
        except (Harmful, RebuildRefused) as refusal:
            messages.warning(request, str(refusal))
        else:
            messages.success(request, "Logged on the checklist: now measure again.")
    return redirect(address_of(request, rebuild, number))


def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then strike a round out; of the newest, what was turned for it is to be turned back."""
    rows = Measurement.objects.full().filter(rebuild__isnull=False).visible_to(request.user)
    row = get_object_or_404(rows.with_names(), pk=pk)
    rebuild = rebuild_of(request, row.rebuild_id)
    sound = sound_of(rebuild, row.chain_number, tolerance_db())
    this = _round_of(row, rebuild, sound)
    page = address_of(request, rebuild, row.chain_number, row.up_to)
    if request.method != "POST":
        may_be_undone = this and row.may_be_undone
        return _ask(request, this, sound) if may_be_undone else redirect(page)
    turned = this.turned if this and this.is_newest else ()
    try:
        back = undo_round(row, turned=turned, by=request.user)
    except (NotTaken, RebuildRefused) as refusal:
        messages.warning(request, str(refusal))
    else:
        said = "".join(f" Turn {each.back}." for each in back)
        messages.success(request, f"Struck out.{said}")
    return redirect(page)


def _round_of(row: Measurement, rebuild: Rebuild, sound: ChainSound) -> TurnedRound | None:
    point = sound.at(row.up_to)
    ticks = ticks_of(rebuild, row.chain_number)
    rounds = turned_rounds(sound.checklist, point.rounds if point else (), ticks)
    return next((each for each in rounds if each.round.measurement == row), None)


def _ask(request: HttpRequest, this: TurnedRound, sound: ChainSound) -> HttpResponse:
    number = this.round.number
    back = "; ".join(each.back for each in this.turned) if this.is_newest else ""
    turned_back = f" The checklist then has again, for you to turn: {back}." if back else ""
    return confirm_page(
        request,
        question=f"Undo round {number}?",
        text="It is struck out for good. What it found can still be read, and nothing is compared with it "
        f"any more.{turned_back}",
        action="Undo",
        title=f"Undo round {number}",
        crumbs=crumbs_below(this.round.measurement.rebuild, sound, "Undo")[
            :-1
        ],  # it says its title
    )
