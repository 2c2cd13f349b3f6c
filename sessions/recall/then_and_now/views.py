from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.editing.versions import EditedMeanwhile
from sessions.recall.models import Rebuild
from sessions.recall.proving.actions import NotTaken
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.actions import Harmful, RebuildRefused
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of
from sessions.recall.sound.figures import figures_of
from sessions.recall.sound.told import NOT_COVERED
from sessions.recall.then_and_now.actions import log_turns, undo_round
from sessions.recall.then_and_now.chains import ChainSound, sounds_of
from sessions.recall.then_and_now.forms import TurnsForm
from sessions.recall.then_and_now.plots import gain_by_level, response_then_and_now
from sessions.recall.then_and_now.points import Point
from sessions.recall.then_and_now.proposals import proposed_for
from sessions.recall.then_and_now.rounds import turned_rounds
from sessions.recall.then_and_now.turns import ticks_of
from sessions.rooms.models import HouseRules


def overview(request: HttpRequest, pk: int) -> HttpResponse:
    """Every chain of the rebuild: what was measured then, and what differs now."""
    rebuild = rebuild_of(request, pk)
    tolerance = tolerance_db()
    context = {
        "rebuild": rebuild,
        "sounds": sounds_of(checklist_of(rebuild), tolerance),
        "tolerance": tolerance,
        "not_covered": NOT_COVERED,
        "crumbs": crumbs_of(rebuild, "Then and now"),
    }
    return TemplateResponse(request, "sessions/recall/then_and_now/overview.html", context)


def chain(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """One chain, up to the converter or, with ?up_to=, up to the output of a unit."""
    rebuild = rebuild_of(request, pk)
    tolerance = tolerance_db()
    sound = sound_of(rebuild, number, tolerance)
    point = asked_point(request, sound)
    context = {
        "rebuild": rebuild,
        "sound": sound,
        "point": point,
        "asked": f"?up_to={point.up_to}" if point.up_to else "",
        "rounds": turned_rounds(sound.checklist, point.rounds, ticks_of(rebuild, number)),
        "tolerance": tolerance,
        "not_covered": NOT_COVERED,
        "crumbs": crumbs_below(rebuild, sound.checklist.wanted.track),
        **_compared(point),
    }
    return TemplateResponse(request, "sessions/recall/then_and_now/chain.html", context)


def proposal(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Which control would explain what differs: seconds of arithmetic, so the page of the chain asks for it once
    it stands; without a script it is a page of its own."""
    rebuild = rebuild_of(request, pk)
    tolerance = tolerance_db()
    sound = sound_of(rebuild, number, tolerance)
    point = asked_point(request, sound)
    context = {
        "rebuild": rebuild,
        "sound": sound,
        "point": point,
        "proposed": proposed_for(
            rebuild, sound.checklist, point, ticks_of(rebuild, number), tolerance
        ),
        "crumbs": crumbs_below(rebuild, sound.checklist.wanted.track),
    }
    template = "_proposal" if request.htmx else "proposal"
    return TemplateResponse(request, f"sessions/recall/then_and_now/{template}.html", context)


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


@require_POST
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Strike a round out; of the newest, what was turned for it is to be turned back."""
    rounds_seen = Measurement.objects.full().filter(rebuild__isnull=False)
    row = get_object_or_404(rounds_seen.visible_to(request.user), pk=pk)
    rebuild = rebuild_of(request, row.rebuild_id)
    sound = sound_of(rebuild, row.chain_number, tolerance_db())
    point = sound.at(row.up_to)
    rounds = turned_rounds(
        sound.checklist, point.rounds if point else (), ticks_of(rebuild, row.chain_number)
    )
    this = next((each for each in rounds if each.round.measurement == row), None)
    try:
        back = undo_round(
            row, turned=this.turned if this and this.is_newest else (), by=request.user
        )
    except (NotTaken, RebuildRefused) as refusal:
        messages.warning(request, str(refusal))
    else:
        said = "".join(f" Turn {each.back}." for each in back)
        messages.success(request, f"Struck out.{said}")
    return redirect(address_of(request, rebuild, row.chain_number, row.up_to))


def address_of(request, rebuild: Rebuild, number: int, up_to: int | None = None) -> str:
    """The chain’s page, of the point that the request is about."""
    asked = up_to or request.GET.get("up_to", "")
    page = reverse("then_and_now:chain", args=[rebuild.pk, number])
    return f"{page}?{urlencode({'up_to': asked})}" if asked else page


def tolerance_db() -> float:
    return float(HouseRules.current().sound_tolerance_db)


def sound_of(rebuild: Rebuild, number: int, tolerance: float) -> ChainSound:
    sounds = sounds_of(checklist_of(rebuild), tolerance)
    found = next((each for each in sounds if each.number == number), None)
    if found is None:
        raise Http404("The rebuild has no such chain.")
    return found


def asked_point(request: HttpRequest, sound: ChainSound) -> Point:
    """The whole chain, unless another point is asked for."""
    asked = request.GET.get("up_to", "")
    if not asked:
        return sound.whole
    point = sound.at(int(asked)) if asked.isdecimal() and len(asked) < 6 else None
    if point is None:
        raise Http404("The chain can’t be measured up to there.")
    return point


def crumbs_below(rebuild: Rebuild, here: str) -> list[tuple[str, str]]:
    """A page of one chain."""
    *above, _ = crumbs_of(rebuild, "Then and now")
    overview_page = reverse("then_and_now:rebuild", args=[rebuild.pk])
    return [*above, ("Then and now", overview_page), (here, "")]


def _compared(point: Point) -> dict:
    newest = point.newest
    if newest is None:
        return {}
    then, now = point.then.in_dbu, newest.now.in_dbu
    figures = zip(figures_of(point.then), figures_of(newest.now), strict=True)
    return {
        "newest": newest,
        "response": response_then_and_now(then, now, newest.comparison),
        "by_level": gain_by_level(then, now),
        "figures": list(figures),
    }
