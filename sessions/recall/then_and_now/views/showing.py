from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of
from sessions.recall.sound.figures import figures_of
from sessions.recall.sound.told import NOT_COVERED
from sessions.recall.then_and_now.chains import sounds_of
from sessions.recall.then_and_now.plots import gain_by_level, response_then_and_now
from sessions.recall.then_and_now.points import Point
from sessions.recall.then_and_now.proposals import proposed_for
from sessions.recall.then_and_now.rounds import turned_rounds
from sessions.recall.then_and_now.tones import tones_then_and_now
from sessions.recall.then_and_now.turns import ticks_of
from sessions.recall.then_and_now.views.common import (
    asked_point,
    crumbs_below,
    sound_of,
    tolerance_db,
)


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
        "waiting": [each for each in sound.waiting if each.up_to == point.up_to],
        "asked": f"?up_to={point.up_to}" if point.up_to else "",
        "rounds": turned_rounds(sound.checklist, point.rounds, ticks_of(rebuild, number)),
        "tones": tones_then_and_now(rebuild, sound, point.up_to, tolerance),
        "tolerance": tolerance,
        "not_covered": NOT_COVERED,
        "crumbs": crumbs_below(rebuild, sound),
        **_compared(point),
    }
    return TemplateResponse(request, "sessions/recall/then_and_now/chain.html", context)


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
        "crumbs": crumbs_below(rebuild, sound, "Controls"),
    }
    template = "_proposal" if request.htmx else "proposal"
    return TemplateResponse(request, f"sessions/recall/then_and_now/{template}.html", context)
