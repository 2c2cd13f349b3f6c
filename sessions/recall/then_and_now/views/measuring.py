import math
from decimal import Decimal
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.audio.level_text import level_text
from sessions.clients.models import SampleRate
from sessions.recall.proving.actions import ChangedMeanwhile
from sessions.recall.proving.cautions import SWEEPS, TONES
from sessions.recall.proving.feeding import Feed, feed_through, limit_in_words, usual_pad_db
from sessions.recall.proving.forms import FeedForm, TonesForm
from sessions.recall.proving.holding import straight_up_to
from sessions.recall.proving.models import Depth, Measurement
from sessions.recall.rebuilds.actions import RebuildRefused
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.views.common import rebuild_of
from sessions.recall.sound.measured import Measured
from sessions.recall.sound.told import NOT_COVERED
from sessions.recall.then_and_now.actions import begin_rebuilt
from sessions.recall.then_and_now.cautions import rebuilt_cautions
from sessions.recall.then_and_now.standing import standing_stages
from sessions.recall.then_and_now.tones import tones_then, tones_to_send
from sessions.recall.then_and_now.views.common import (
    address_of,
    asked_point,
    crumbs_below,
    one_of,
    tolerance_db,
)


def measure(request: HttpRequest, pk: int, number: int, depth: Depth = Depth.FULL) -> HttpResponse:
    """The plan of a test file for a chain as it is set up again, by the levels of then, and the cautions before there
    is one. depth: of what is measured."""
    rebuild = rebuild_of(request, pk)
    if rebuild.is_finished:
        return redirect(address_of(request, rebuild, number))
    checklist, project = checklist_of(rebuild), rebuild.song.project
    sound = one_of(checklist, number, tolerance_db())
    point = asked_point(request, sound)
    full_scale = float(project.full_scale_dbu)
    stages = standing_stages(sound.checklist)
    feed = feed_through(stages, full_scale, up_to=point.up_to)
    cables = Measurement.objects.cables(project.sample_rate).visible_to(request.user)
    is_full = depth == Depth.FULL
    then = point.then if is_full else tones_then(sound, point.up_to)
    form = (FeedForm if is_full else TonesForm)(
        request.POST or None,
        feed=feed,
        cables=cables,
        cautions=rebuilt_cautions(
            checklist, sound.checklist, feed, harms=SWEEPS if is_full else TONES
        ),
        initial=_as_then(then, feed, is_full=is_full),
    )
    status = 422 if form.is_bound else 200
    if feed.entry and form.is_bound and form.is_valid():
        facts = {name: form.cleaned_data[name] for name in ("fed_dbu", "pad_db", "cable")}
        facts |= {"seen": request.POST.get("seen", ""), "up_to": point.up_to}
        if not is_full:
            facts["tones"] = partial(tones_to_send, then)
        try:
            return redirect(begin_rebuilt(rebuild, number, by=request.user, **facts))
        except (ChangedMeanwhile, RebuildRefused) as refusal:
            form.add_error(None, str(refusal))
            status = 409
    context = {
        "rebuild": rebuild,
        "sound": sound,
        "point": point,
        "feed": feed,
        "limit": limit_in_words(feed),
        "full_scale": level_text(full_scale),
        "fed": "" if form.fed is None else level_text(float(form.fed)),
        "pad": form.pad,
        "is_full": is_full,
        "signal": "test file" if is_full else "three tones",
        "clips_by_then": bool(is_full and then and feed.limit and then.fed_dbu > feed.limit.dbu),
        "then_fed": level_text(point.then.fed_dbu) if point.then else "",
        "rate": SampleRate(project.sample_rate).label,
        "form": form,
        "not_covered": NOT_COVERED,
        "back": address_of(request, rebuild, number),
        "cable_page": f"{reverse('proving:cables')}?rate={project.sample_rate}&full_scale={full_scale:g}",
        "crumbs": crumbs_below(rebuild, sound, "Measure"),
    }
    return TemplateResponse(
        request, "sessions/recall/then_and_now/measure.html", context, status=status
    )


def _as_then(then: Measured | None, feed: Feed, *, is_full: bool) -> dict:
    """As loud as it was then, if nothing clips by it now, behind the same pad; tones, whose pad nobody kept, behind
    the usual one, and where there were none, as loud as what was measured in full can be asked for them."""
    if then is None:
        return {}
    level = then.tones[0].sent_dbu if then.tones else then.fed_dbu
    if not is_full and not then.tones:
        straight = straight_up_to(then.in_dbu)
        level = level if straight is None else min(level, math.floor(straight))
    if feed.limit and level > feed.limit.dbu:
        level = feed.loudest_dbu
    pad = then.pad_db if is_full else usual_pad_db(level, feed.full_scale_dbu)
    return {"fed_dbu": Decimal(str(level)), "pad_db": pad}
