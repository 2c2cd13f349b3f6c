from functools import wraps
from tempfile import TemporaryFile

from django.contrib import messages
from django.db import transaction
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from gear.audio.level_text import level_text
from gear.audio.proving.signal import write_wav
from gear.editing.form_pages import confirm_page
from sessions.clients.models import SampleRate
from sessions.editing.presses import Press
from sessions.recall.proving import actions
from sessions.recall.proving.cautions import SWEEPS, TONES, cautions, chain_cautions
from sessions.recall.proving.feeding import feed_of, limit_in_words, stops
from sessions.recall.proving.forms import (
    CableForm,
    FeedForm,
    ReadingsForm,
    ReturnForm,
    TonesForm,
)
from sessions.recall.proving.models import Depth, Measurement
from sessions.recall.proving.page import Found, TonesFound, crumbs_of
from sessions.recall.proving.three_tones import (
    TonesWords,
    hertz_name,
    house_tones,
    usual_level_dbu,
)
from sessions.recall.sound.told import NOT_COVERED
from sessions.setups.chains.views.setups import crumbs_of as crumbs_of_session
from sessions.setups.models import Chain
from sessions.setups.patching.patch_list import newest_of_sessions
from sessions.tasks.models import SOUND, Worker


def chain(request: HttpRequest, pk: int, depth: Depth = Depth.FULL) -> HttpResponse:
    """The plan of a test file for the chain as it stands now, and the cautions before there is one.
    depth: of what is measured. `?up_to=` is the position of the last unit that is measured through."""
    chains = Chain.objects.visible_to(request.user).select_related("setup")
    chain = get_object_or_404(chains, pk=pk)
    revisions = list(newest_of_sessions([chain.setup.session_id]))
    revision = next(found for found in revisions if found.chain_id == chain.pk)
    whole = feed_of(revision)
    up_to = _up_to(request, whole)
    feed = feed_of(revision, up_to=up_to) if up_to else whole
    beside = [each for each in revisions if each.chain.is_up]
    rate = revision.recording_format.sample_rate
    is_full = depth == Depth.FULL
    form = (FeedForm if is_full else TonesForm)(
        request.POST or None,
        feed=feed,
        proposed_dbu=None if is_full else usual_level_dbu(revision, feed),
        cables=Measurement.objects.cables(rate).visible_to(request.user),
        cautions=chain_cautions(revision, feed, beside, harms=SWEEPS if is_full else TONES),
    )
    status = 422 if form.is_bound else 200
    may_begin = revision.chain.is_up and feed.entry is not None
    if may_begin and form.is_bound and form.is_valid():
        facts = {name: form.cleaned_data[name] for name in ("fed_dbu", "pad_db", "cable")}
        seen = request.POST.get("seen", "")
        try:
            return redirect(
                actions.begin_chain(
                    chain, seen=seen, depth=depth, up_to=up_to, by=request.user, **facts
                )
            )
        except actions.ChangedMeanwhile as changed:
            form.add_error(None, str(changed))
            status = 409
    context = {
        "chain": revision.chain,
        "revision": revision,
        "feed": feed,
        "limit": limit_in_words(feed),
        "full_scale": level_text(feed.full_scale_dbu),
        "fed": "" if form.fed is None else level_text(float(form.fed)),
        "pad": form.pad,
        "rate": SampleRate(rate).label,
        "stops": stops(whole),
        "up_to": up_to,
        "form": form,
        "may_begin": may_begin,
        "not_covered": NOT_COVERED,
        "tones": [] if is_full else [hertz_name(hertz) for hertz in house_tones(rate, 0).hertz],
        "cable_page": f"{reverse('proving:cables')}?rate={rate}&full_scale={feed.full_scale_dbu:g}",
        "crumbs": [
            *crumbs_of_session(revision.chain.setup.session),
            (str(revision.chain), revision.chain.get_absolute_url()),
            ("Sound", ""),
        ],
    }
    template = "chain" if is_full else "chain_tones"
    return TemplateResponse(
        request, f"sessions/recall/proving/{template}.html", context, status=status
    )


def _up_to(request: HttpRequest, whole) -> int | None:
    asked = request.GET.get("up_to", "")
    return next((stop.position for stop in stops(whole) if str(stop.position) == asked), None)


def cables(request: HttpRequest) -> HttpResponse:
    """Cables that were measured, and the cautions before another is."""
    form = CableForm(
        request.POST or None,
        initial={
            "rate_hz": request.GET.get("rate", SampleRate.R48000),
            "full_scale_dbu": request.GET.get("full_scale", ""),
        },
        cautions=cautions(into="the input that the cable leads to"),
    )
    if form.is_bound and form.is_valid():
        facts = {name: form.cleaned_data[name] for name in ("rate_hz", "full_scale_dbu")}
        return redirect(actions.begin_cable(by=request.user, **facts))
    context = {
        "form": form,
        "cables": Measurement.objects.filter(is_cable=True)
        .visible_to(request.user)
        .with_names()[:20],
    }
    status = 422 if form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/proving/cables.html", context, status=status)


def _measurement_of(request: HttpRequest, pk: int) -> Measurement:
    measurements = Measurement.objects.visible_to(request.user).with_names()
    return get_object_or_404(measurements, pk=pk)


def worked_on(view):
    """For whoever may work on the measurement, which the view is given; others are told so on its page."""

    @wraps(view)
    def answered(request: HttpRequest, pk: int) -> HttpResponse:
        measurement = _measurement_of(request, pk)
        if measurement.may_be_worked_on_by(request.user):
            return view(request, measurement)
        messages.warning(
            request, "The studio’s own people do that: you can read what they measured."
        )
        return redirect(measurement)

    return answered


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What is to be done next, how far it is, or what was found."""
    return _detail(request, _measurement_of(request, pk), ReturnForm())


def _detail(
    request,
    measurement: Measurement,
    form: ReturnForm,
    readings: ReadingsForm | None = None,
) -> HttpResponse:
    context = {
        "measurement": measurement,
        "found": Found.of(measurement),
        "tones": TonesFound.of(measurement),
        "tone_rows": TonesWords(measurement.tones_read).rows,
        "form": form,
        "readings": readings or ReadingsForm(measurement=measurement),
        "may_work": measurement.may_be_worked_on_by(request.user),
        "no_worker": measurement.is_under_way and not Worker.objects.alive(SOUND),
        "not_covered": NOT_COVERED,
        "crumbs": crumbs_of(measurement),
    }
    is_bound = form.is_bound or readings is not None
    answer = TemplateResponse(
        request, "sessions/recall/proving/detail.html", context, status=422 if is_bound else 200
    )
    if request.htmx and not measurement.is_under_way:
        answer["HX-Refresh"] = "true"  # the head of the page says what became of it, too
    return answer


@require_safe
@worked_on
def offer_file(request: HttpRequest, measurement: Measurement) -> HttpResponse:
    """The file to be played, while the cautions that were confirmed hold."""
    if not measurement.offers_file:
        messages.warning(
            request, "There is no test file any more: confirm the cautions anew, for a new one."
        )
        return redirect(measurement)
    file = TemporaryFile()  # noqa: SIM115, the answer closes it
    write_wav(measurement.file_plan, file)
    file.seek(0)
    return FileResponse(
        file,
        as_attachment=True,
        filename=f"test-file-{measurement.pk}.wav",
        content_type="audio/wav",
    )


@require_POST
@transaction.non_atomic_requests
@worked_on
def take_return(request: HttpRequest, measurement: Measurement) -> HttpResponse:
    """The recording of what came back."""
    form = ReturnForm(request.POST, request.FILES)
    if not form.is_valid():
        return _detail(request, measurement, form)

    def answered() -> None:
        Press.objects.claim(request).keep_answer(request, measurement.get_absolute_url())

    try:
        actions.take_return(
            measurement,
            upload=form.cleaned_data["recording"],
            keep=form.cleaned_data["keep"],
            by=request.user,
            then=answered,
        )
    except actions.NotTaken as refusal:
        messages.warning(request, str(refusal))
    return redirect(measurement)


@require_POST
@worked_on
def readings(request: HttpRequest, measurement: Measurement) -> HttpResponse:
    """What a meter reads of the three tones."""
    if measurement.depth != Depth.TONES:
        raise Http404("It is not by three tones.")
    form = ReadingsForm(request.POST, measurement=measurement)
    if not form.is_valid():
        return _detail(request, measurement, ReturnForm(), form)
    try:
        actions.save_readings(measurement, form.readings(), by=request.user)
    except actions.NotTaken as refusal:
        messages.warning(request, str(refusal))
    return redirect(measurement)


@worked_on
def undo(request: HttpRequest, measurement: Measurement) -> HttpResponse:
    """Ask, then strike it out; nothing of it is deleted. Rounds of a rebuild are undone on its pages."""
    if measurement.is_round:
        return redirect(measurement.undo_page)
    if request.method == "POST":
        try:
            actions.undo(measurement, by=request.user)
            messages.success(request, f"{measurement} is struck out.")
        except actions.NotTaken as refusal:
            messages.warning(request, str(refusal))
        return redirect(measurement)
    *above, (here, _) = crumbs_of(measurement)
    return confirm_page(
        request,
        question="Undo this measurement?",
        text=f"{measurement} of {measurement.of} is struck out for good. What it found can still be "
        "read, and nothing is compared with it any more.",
        action="Undo",
        title="Undo measurement",
        crumbs=[*above, (here, measurement.get_absolute_url())],
    )
