from django.contrib import messages
from django.forms import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from gear.asked import whole_number
from gear.editing.form_pages import edit_page, meanwhile_page
from gear.editing.versions import EditedMeanwhile, version_in
from sessions.bookings.models import RecordingSession
from sessions.takes.actions import (
    TakeRefused,
    circle_take,
    correct_take,
    log_take,
    mark_take,
)
from sessions.takes.forms import LogForm, RecordingNowForm, TakeForm
from sessions.takes.in_force import revisions_in_force
from sessions.takes.models import Mark, Take

# The letters of the tape-box legend, as engineers write them.
MARK_KEYS = {
    Mark.COMPLETE: "c",
    Mark.FALSE_START: "f",
    Mark.LONG_FALSE_START: "l",
    Mark.BREAKDOWN: "b",
    Mark.HOLD: "h",
    Mark.MASTER: "m",
    Mark.NO_GOOD: "n",
}


def _session_of(request, pk) -> RecordingSession:
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(sessions, pk=pk)


def _take_of(request, pk) -> Take:
    takes = Take.objects.visible_to(request.user).select_related("session", "part__song")
    return get_object_or_404(takes, pk=pk)


def _recording_now(session, query) -> dict:
    """The setup and part that the address names, else those of the session's last take."""
    if "part" in query:
        return {"setup": query.get("setup"), "part": query.get("part")}
    last = session.takes.order_by("-logged_at", "-pk").first()
    used = session.setups.filter(chains__revisions__takes=last) if last else session.setups.none()
    setup = used.first() or session.setups.first()
    return {"setup": setup and setup.pk, "part": last and last.part_id}


def _takes_page(session, setup, part) -> str:
    query = {"part": part.pk} | ({"setup": setup.pk} if setup else {})
    return f"{reverse('takes:session', args=[session.pk])}?{urlencode(query)}"


def _tracking(request, session, *, now_form, log_form=None, status=200) -> HttpResponse:
    now = now_form.cleaned_data if now_form.is_valid() else {}
    setup, part = now.get("setup"), now.get("part")
    takes = list(Take.objects.filter(part=part).for_list().order_by("-number")) if part else []
    context = {
        "session": session,
        "now_form": now_form,
        "setup": setup,
        "part": part,
        "log_form": log_form or LogForm(session=session, initial={"kind": "whole"}),
        "takes": takes,
        "next_number": takes[0].number + 1 if takes else 1,
        "rolling": next((take for take in takes if take.is_rolling), None),
        "in_force": revisions_in_force(setup, part) if part else [],
        "mark_keys": [(mark, mark.label, key) for mark, key in MARK_KEYS.items()],
        "session_takes": session.takes.for_list().order_by("-logged_at", "-pk"),
    }
    return TemplateResponse(request, "sessions/takes/session.html", context, status=status)


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """The tracking page: what is being recorded now, one key to log it, and the takes so far."""
    session = _session_of(request, pk)
    data = _recording_now(session, request.GET)
    form = RecordingNowForm(data if data["part"] else None, session=session, initial=data)
    return _tracking(request, session, now_form=form)


@require_POST
def log(request: HttpRequest, pk: int) -> HttpResponse:
    """Log one take: the next number, the mark that was pressed, the revisions in force."""
    session = _session_of(request, pk)
    form = LogForm(request.POST, session=session)
    if form.is_valid():
        facts = form.cleaned_data
        part, setup = facts["part"], facts["setup"]
        try:
            take = log_take(session=session, **facts)
        except TakeRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            marked = f", {take.get_mark_display().lower()}" if take.mark else ""
            state = " rolling" if take.is_rolling else " logged"
            messages.success(request, f"{part.song}, {part}: take {take.number}{state}{marked}.")
            return redirect(_takes_page(session, setup, part))
    now_form = RecordingNowForm(request.POST, session=session)
    return _tracking(request, session, now_form=now_form, log_form=form, status=422)


@require_POST
def mark(request: HttpRequest, pk: int) -> HttpResponse:
    """Mark a take, ending it where it is still rolling."""
    take = _take_of(request, pk)
    wanted = request.POST.get("mark", "")
    if wanted not in Mark.values:
        messages.error(request, "That mark is not in the legend: choose one of the buttons.")
        return redirect(_back(request, take))
    try:
        earlier = mark_take(take, version=_seen(request), mark=wanted)
    except TakeRefused as refusal:
        messages.error(request, str(refusal))
    except EditedMeanwhile as edited:
        return _pressed_meanwhile(request, edited.current, mark=wanted)
    else:
        messages.success(request, f"Take {take.number}: {take.get_mark_display().lower()}.")
        _tell_of_earlier_master(request, earlier)
    return redirect(_back(request, take))


@require_POST
def circle(request: HttpRequest, pk: int) -> HttpResponse:
    """Circle a take, or take its circle off."""
    take = _take_of(request, pk)
    circled = request.POST.get("circled") == "1"
    try:
        circle_take(take, version=_seen(request), circled=circled)
    except TakeRefused as refusal:
        messages.error(request, str(refusal))
    except EditedMeanwhile as edited:
        return _pressed_meanwhile(request, edited.current, circled=circled)
    else:
        state = "circled: chosen" if take.circled else "no longer circled"
        messages.success(request, f"Take {take.number} {state}.")
    return redirect(_back(request, take))


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a take right afterwards; where somebody else saved meanwhile, show both versions."""
    take = _take_of(request, pk)
    form = TakeForm(request.POST or None, instance=take)

    def save(version: int) -> Take:
        corrected = Take.objects.get(pk=pk)
        earlier = correct_take(corrected, version=version, **form.cleaned_data)
        _tell_of_earlier_master(request, earlier)
        return corrected

    return edit_page(request, form, save=save, **_page_of(take))


def _seen(request) -> int:
    return version_in(request.POST.get("seen", ""))


def _pressed_meanwhile(request, take: Take, **pressed) -> HttpResponse:
    """The form of the take as it is now but for what was `pressed`, to be saved once more."""
    form = TakeForm(model_to_dict(take, TakeForm.Meta.fields) | pressed, instance=take)
    return meanwhile_page(request, form, take, **_page_of(take))


def _page_of(take: Take) -> dict:
    """What the form page of a take is given."""
    return {
        "title": f"Take {take.number} of {take.part}",
        "crumbs": [
            (str(take.session), take.session.get_absolute_url()),
            ("Takes", _takes_page(take.session, None, take.part)),
        ],
        "template": "sessions/takes/take_form.html",
        "take": take,
        "address": reverse("takes:edit", args=[take.pk]),
    }


def _tell_of_earlier_master(request, earlier: Take | None) -> None:
    if earlier:
        messages.info(
            request,
            f"Take {earlier.number} was the master until now: it is marked hold.",
        )


def _back(request, take: Take) -> str:
    """To the tracking page as it was, or to that of the take's part."""
    setup = take.session.setups.filter(pk=whole_number(request.POST.get("setup"))).first()
    return _takes_page(take.session, setup, take.part)
