"""The tracking page: what is being recorded, one key to log it, what others logged meanwhile."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse, JsonResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.http import quote_etag
from django.views.decorators.http import require_POST, require_safe

from gear.asked import way_back, whole_number
from gear.editing.versions import EditedMeanwhile, version_in
from sessions.bookings.models import RecordingSession
from sessions.editing.presses import new_number
from sessions.setups.models import Setup
from sessions.songs.models import Part
from sessions.takes.actions import TakeRefused
from sessions.takes.device_key import device_key
from sessions.takes.forms import LogForm, PressForm, RecordingNowForm
from sessions.takes.models import Mark, Take, TakePart, TakePress, What
from sessions.takes.tracking.clocks import LATE, device_time, happened_at
from sessions.takes.tracking.presses import Press, take_press
from sessions.takes.tracking.recording_now import (
    RecordingNow,
    asked_for,
    parts_of,
    places_to_punch_in,
    stamp,
    undoable,
)
from sessions.takes.views import note_meanwhile, pressed_meanwhile

# The letters of the tape-box legend, as engineers write them.
MARK_KEYS = {
    Mark.MASTER: "m",
    Mark.COMPLETE: "c",
    Mark.HOLD: "h",
    Mark.FALSE_START: "f",
    Mark.LONG_FALSE_START: "l",
    Mark.BREAKDOWN: "b",
    Mark.NO_GOOD: "n",
}


LOOKS = 3  # at most, until nothing was changed during one


def _session_of(request, pk) -> RecordingSession:
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(sessions, pk=pk)


def session(request: HttpRequest, pk: int) -> HttpResponse:
    session = _session_of(request, pk)
    return _page(request, session, asked_for(session, request.GET))


def _page(request, session, query, *, log_form=None, status=200) -> HttpResponse:
    now_form = RecordingNowForm(query if "song" in query else None, session=session, initial=query)
    context = {
        "session": session,
        "now_form": now_form,
        "mark_keys": [(mark, mark.label, key) for mark, key in MARK_KEYS.items()],
        "queue_key": device_key(request.user),
    }
    if now_form.is_valid():
        context |= _recording(request, session, query, **now_form.cleaned_data)
        now = context["now"]
        context["all_parts"] = now.song.parts.all()
        context["log_form"] = log_form or LogForm(
            parts=now.parts, initial=now.pass_to_begin_with(query)
        )
        context["places"] = places_to_punch_in(now.song)
    return TemplateResponse(request, "sessions/takes/tracking/page.html", context, status=status)


def _recording(request, session, query, *, song, setup) -> dict:
    """What changes while the page is open."""
    return {
        "session": session,
        "now": RecordingNow(session, song, setup, parts_of(song, setup, query)),
        "undoable": undoable(session, request.user),
    }


@require_safe
def live(request: HttpRequest, pk: int) -> HttpResponse:
    """The parts of the tracking page that change, for who has it open; nothing where nothing did."""
    session = _session_of(request, pk)
    now = stamp(session, request.user)
    if request.headers.get("If-None-Match") == _etag(request, now):
        return HttpResponse(status=304, headers={"ETag": _etag(request, now)})
    for _ in range(LOOKS):
        # Who presses meanwhile would leave one half of the take older than the other.
        before, answer = now, _look(request, session).render()
        now = stamp(session, request.user)
        if now == before:
            break
    answer["ETag"] = _etag(request, before)
    return answer


def _look(request, session) -> TemplateResponse:
    now_form = RecordingNowForm(request.GET, session=session)
    context = {"session": session}
    if now_form.is_valid():
        context = _recording(request, session, request.GET, **now_form.cleaned_data)
    return TemplateResponse(request, "sessions/takes/tracking/live.html", context)


def _etag(request, stamped: str) -> str:
    return quote_etag(f"{request.user.pk}-{stamped}")


@require_POST
def press(request: HttpRequest, pk: int) -> HttpResponse:
    """One press, once. A script gets JSON; a form, its page again."""
    session = _session_of(request, pk)
    if request.POST.get("user") not in (None, str(request.user.pk)):
        raise PermissionDenied  # kept on the device by who was signed in before
    form, log_form = _press_form(request.POST), None
    if not form.is_valid():
        return _refused(request, session, form)
    pressed = form.cleaned_data
    facts = {name: pressed[name] for name in ("mark", "note", "circled")}
    if pressed["what"] in (What.START, What.OVER):
        facts, log_form = _to_log(session, request.POST, mark=pressed["mark"])
        if facts is None:
            return _refused(request, session, log_form)
    try:
        asked = _press(request, session, pressed, facts)
        made = take_press(asked, session=session, by=request.user)
    except (TakeRefused, EditedMeanwhile, IntegrityError) as refusal:
        # Its number decides, not a look beforehand: of two at one moment, too, the second is a repeat.
        made = TakePress.objects.filter(number=pressed["number"], user=request.user).first()
        if made is None:
            return _not_done(request, session, refusal, pressed, log_form or form)
    return _answer(request, session, made)


def _press_form(posted: QueryDict) -> PressForm:
    """A form without a script sends no number, since its page has one, and a mark by itself."""
    data = posted.copy()
    data.setdefault("number", new_number())
    for name, what in (("mark", What.MARK), ("circled", What.CIRCLE), ("again", What.START)):
        if name in posted:
            data.setdefault("what", what)
    return PressForm(data)


def _to_log(session, posted: QueryDict, mark: str) -> tuple[dict | None, LogForm]:
    """What is to be logged, None where it can't be, and the form that says why."""
    keys = [key for key in map(whole_number, posted.getlist("part")) if key]
    named = Part.objects.filter(pk__in=keys, song__project=session.project_id)
    parts = list(named.select_related("song"))
    setup = None
    if key := whole_number(posted.get("setup", "")):
        setup = Setup.objects.filter(pk=key, session=session).select_related("session").first()
    form = LogForm(_with_points(posted, session), parts=parts)
    if not parts:
        form.add_error(None, "Choose the parts that are recorded.")
    if not form.is_valid():
        return None, form
    facts = form.cleaned_data | {"parts": parts, "setup": setup, "mark": mark}
    if posted.get("take"):
        facts["note"] = ""  # what stands in the field is the note on that take
    return facts, form


def _with_points(posted: QueryDict, session) -> QueryDict:
    """The same punch-in again: with the points and the pre-roll of that one."""
    key = whole_number(posted.get("again", ""))
    punch_in = (
        Take.objects.filter(pk=key, song__project=session.project_id).first() if key else None
    )
    if punch_in is None:
        return posted
    data = posted.copy()
    for name in ("kind", "punch_in", "punch_out", "pre_roll"):
        data[name] = getattr(punch_in, name)
    data["into"] = punch_in.into_id or ""
    return data


def _press(request, session, pressed: dict, facts: dict) -> Press:
    received = timezone.now()
    clock = {"pressed": pressed["pressed_at"], "sent": pressed["sent_at"]}
    at = happened_at(received, **clock)
    take = _take_of(session, request.POST.get("take", ""))
    return Press(
        number=pressed["number"],
        what=pressed["what"],
        pressed_at=device_time(pressed["pressed_at"], else_at=received),
        at=at,
        is_late=received - at > LATE,
        take=take,
        seen=_seen(request.POST.getlist("seen"), take),
        version=pressed["version"],
        facts=facts,
    )


def _take_of(session, named: str) -> Take | None:
    """By its key, or by the number of the press that started it."""
    takes = session.takes.select_related("song", "session")
    if key := whole_number(named):
        return takes.filter(pk=key).first()
    try:
        return takes.filter(presses__number=UUID(named)).first()
    except ValueError:
        return None


def _seen(named: list[str], take: Take | None) -> dict[int, int]:
    """The versions of parts of the take that the page showed, by their keys."""
    if take is None:
        return {}
    pairs = (seen.partition(".")[::2] for seen in named)
    seen = {whole_number(key): version_in(version) for key, version in pairs}
    known = take.take_parts.values_list("pk", flat=True)
    return {key: seen[key] for key in known if key in seen}


# --- answers ------------------------------------------------------------------------------------


def _by_script(request) -> bool:
    return "application/json" in request.headers.get("Accept", "")


def _answer(request, session, made: TakePress) -> HttpResponse:
    if _by_script(request):
        return JsonResponse(made.answer)
    messages.success(request, made.answer["said"])
    now = (
        request.POST.get("now")
        or RecordingNow(session, made.take.song, None, list(made.take.parts.all())).query
    )
    here = f"{reverse('takes:session', args=[session.pk])}?{now}"
    return redirect(way_back(request, here))


def _refused(request, session, form) -> HttpResponse:
    """What was typed, with what is wrong."""
    if _by_script(request):
        return JsonResponse({"said": _words(form)}, status=422)
    if isinstance(form, LogForm):
        return _page(request, session, request.POST, log_form=form, status=422)
    messages.error(request, _words(form))
    query = QueryDict(request.POST.get("now", ""))
    return _page(request, session, asked_for(session, query), status=422)


def _not_done(request, session, refusal, pressed: dict, form) -> HttpResponse:
    if isinstance(refusal, EditedMeanwhile):
        return _meanwhile(request, refusal.current, pressed)
    if isinstance(refusal, IntegrityError):
        raise refusal
    form.add_error(None, str(refusal))
    return _refused(request, session, form)


def _meanwhile(request, current: Take | TakePart, pressed: dict) -> HttpResponse:
    """Both: what somebody else saved, and what was pressed."""
    what = pressed["what"]
    if not _by_script(request):
        if isinstance(current, Take):
            return note_meanwhile(request, current, pressed["note"])
        name = "mark" if what == What.MARK else "circled"
        return pressed_meanwhile(request, current, **{name: pressed[name]})
    return JsonResponse(
        {"said": str(EditedMeanwhile(current))} | _both(current, pressed), status=409
    )


def _both(current: Take | TakePart, pressed: dict) -> dict:
    if isinstance(current, Take):
        versions = {"version": current.version}
        theirs, yours = current.note or "no note", pressed["note"] or "no note"
    else:
        parts = current.take.take_parts.all()
        versions = {"seen": [f"{each.pk}.{each.version}" for each in parts]}
        circled = {True: "circled", False: "not circled"}
        if pressed["what"] == What.MARK:
            theirs, yours = current.get_mark_display() or "not marked", Mark(pressed["mark"]).label
        else:
            theirs, yours = circled[current.circled], circled[pressed["circled"]]
    last = current.history.select_related("history_user").first()
    by = str(last.history_user) if last and last.history_user else ""
    return versions | {"theirs": theirs, "yours": yours, "by": by}


def _words(form) -> str:
    return " ".join(str(error) for errors in form.errors.values() for error in errors)
