from urllib.parse import urlencode

from django.http import Http404, HttpRequest
from django.urls import reverse

from sessions.recall.models import Rebuild
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.lines import Checklist
from sessions.recall.rebuilds.views.common import crumbs_of
from sessions.recall.then_and_now.chains import ChainSound, sounds_of
from sessions.recall.then_and_now.points import Point
from sessions.rooms.models import HouseRules


def tolerance_db() -> float:
    return float(HouseRules.current().sound_tolerance_db)


def sound_of(rebuild: Rebuild, number: int, tolerance: float) -> ChainSound:
    return one_of(checklist_of(rebuild), number, tolerance)


def one_of(checklist: Checklist, number: int, tolerance: float) -> ChainSound:
    found = next((each for each in sounds_of(checklist, tolerance) if each.number == number), None)
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


def crumbs_below(rebuild: Rebuild, sound: ChainSound, here: str = "") -> list[tuple[str, str]]:
    """The page of one chain, or a page below it."""
    *above, _ = crumbs_of(rebuild, "Then and now")
    overview_page = reverse("then_and_now:rebuild", args=[rebuild.pk])
    above += [("Then and now", overview_page)]
    track = sound.checklist.wanted.track
    if not here:
        return [*above, (track, "")]
    page = reverse("then_and_now:chain", args=[rebuild.pk, sound.number])
    return [*above, (track, page), (here, "")]


def address_of(request, rebuild: Rebuild, number: int, up_to: int | None = None) -> str:
    """The chain’s page, of the point that the request is about."""
    asked = up_to or request.GET.get("up_to", "")
    page = reverse("then_and_now:chain", args=[rebuild.pk, number])
    return f"{page}?{urlencode({'up_to': asked})}" if asked else page
