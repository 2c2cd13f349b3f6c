from django.contrib import messages
from django.forms import model_to_dict
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from gear.asked import whole_number
from gear.comma_separated import csv_answer
from gear.editing.form_pages import edit_page, meanwhile_page
from gear.editing.versions import EditedMeanwhile, version_in
from sessions.bookings.models import RecordingSession
from sessions.songs.models import Part, Song
from sessions.takes.actions import TakeRefused, circle_parts, correct_part, log_take, mark_take
from sessions.takes.forms import LogForm, PassForm, RecordingNowForm, TakePartForm
from sessions.takes.in_force import parts_set_up, revisions_in_force
from sessions.takes.models import Mark, Take, TakeKind, TakePart
from sessions.takes.take_csv import COLUMNS, csv_rows

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
    takes = Take.objects.visible_to(request.user).select_related("session", "song")
    return get_object_or_404(takes, pk=pk)


def _recording_now(session, query: QueryDict) -> QueryDict:
    """The song, setup and parts that the address names, else those of the session's last take."""
    if "song" in query:
        return query
    now = QueryDict(mutable=True)
    last = session.takes.order_by("-logged_at", "-pk").first()
    used = session.setups.filter(chains__revisions__takes=last) if last else session.setups.none()
    if setup := used.first() or session.setups.first():
        now["setup"] = setup.pk
    if last:
        now["song"] = last.song_id
        now.setlist("part", [str(part.pk) for part in last.parts.all()])
    return now


def _parts_of(song: Song, setup, query: QueryDict) -> list[Part]:
    """Those that the query names, else those that the setup's chains carry."""
    named = [whole_number(key) for key in query.getlist("part")]
    return list(song.parts.filter(pk__in=[key for key in named if key])) or parts_set_up(
        setup, song
    )


def _tracking(request, session, query, *, log_form=None, status=200) -> HttpResponse:
    now_form = RecordingNowForm(query if "song" in query else None, session=session, initial=query)
    context = {
        "session": session,
        "now_form": now_form,
        "mark_keys": [(mark, mark.label, key) for mark, key in MARK_KEYS.items()],
        "session_takes": session.takes.for_list().order_by("-logged_at", "-pk"),
    }
    if now_form.is_valid():
        context |= _recording(session, query, **now_form.cleaned_data)
        parts = context["parts"]
        context["log_form"] = log_form or LogForm(
            parts=parts, initial=_punch_points(context, whole_number(query.get("section", "")))
        )
    return TemplateResponse(request, "sessions/takes/session.html", context, status=status)


def _recording(session, query, *, song, setup) -> dict:
    """What the tracking page shows of the song that is being recorded."""
    parts = _parts_of(song, setup, query)
    takes = list(song.takes.for_list().order_by("-number"))
    return {
        "song": song,
        "setup": setup,
        "parts": parts,
        "all_parts": song.parts.all(),
        "takes": takes,
        "next_number": takes[0].number + 1 if takes else 1,
        "rolling": next((take for take in takes if take.is_rolling), None),
        "in_force": revisions_in_force(setup, parts),
        "sections": [each for each in song.sections.all() if each.first_bar is not None],
        "last_punch_in": next((take for take in takes if take.into_id), None),
        "now": _query(song, setup, parts),
    }


def _punch_points(recording: dict, section: int | None) -> dict:
    """What the form begins with: a section that was tapped, from its first bar to the next one's; the
    pre-roll of the last punch-in."""
    last, sections = recording["last_punch_in"], recording["sections"]
    kept = {"kind": TakeKind.WHOLE, "pre_roll": last.pre_roll if last else ""}
    here = next((each for each in sections if each.pk == section), None)
    if here is None:
        return kept
    after = [each.first_bar for each in sections if each.first_bar > here.first_bar]
    whole = [take for take in recording["takes"] if take.kind == TakeKind.WHOLE]
    return kept | {
        "kind": TakeKind.PUNCH_IN,
        "into": last.into_id if last else whole[0].pk if whole else None,
        "punch_in": f"bar {here.first_bar}",
        "punch_out": f"bar {min(after)}" if after else "",
    }


def _query(song, setup=None, parts=()) -> str:
    query = QueryDict(mutable=True)
    query["song"] = song.pk
    if setup:
        query["setup"] = setup.pk
    query.setlist("part", [part.pk for part in parts])
    return query.urlencode()


def _takes_page(session, query: str) -> str:
    return f"{reverse('takes:session', args=[session.pk])}?{query}"


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """The tracking page: what is being recorded now, one key to log it, and the takes so far."""
    session = _session_of(request, pk)
    return _tracking(request, session, _recording_now(session, request.GET))


@require_safe
def session_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """All takes of a session, in the order in which they were logged."""
    session = _session_of(request, pk)
    takes = Take.objects.visible_to(request.user).filter(session=session)
    return _csv(takes.order_by("logged_at", "pk"), session.title)


@require_safe
def song_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """All takes of a song, of whatever session."""
    song = get_object_or_404(Song.objects.visible_to(request.user), pk=pk)
    return _csv(song.takes.order_by("number"), song.title)


def _csv(takes, of: str) -> HttpResponse:
    return csv_answer(f"takes-{slugify(of)}.csv", list(COLUMNS), csv_rows(takes))


@require_POST
def log(request: HttpRequest, pk: int) -> HttpResponse:
    """Log one take: the next number, the mark that was pressed, the revisions in force."""
    session = _session_of(request, pk)
    now = RecordingNowForm(request.POST, session=session)
    form = None
    if now.is_valid():
        song, setup = now.cleaned_data["song"], now.cleaned_data["setup"]
        parts = _parts_of(song, setup, request.POST)
        form = LogForm(request.POST, parts=parts)
        if form.is_valid():
            try:
                take = log_take(*parts, session=session, setup=setup, **form.cleaned_data)
            except TakeRefused as refusal:
                form.add_error(None, str(refusal))
            else:
                state = " rolling" if take.is_rolling else " logged"
                mark = form.cleaned_data["mark"]
                marked = f", {Mark(mark).label.lower()}" if mark else ""
                messages.success(request, f"{song}: take {take.number}{state}{marked}.")
                return redirect(_takes_page(session, _query(song, setup, parts)))
    return _tracking(request, session, request.POST, log_form=form, status=422)


@require_POST
def mark(request: HttpRequest, pk: int) -> HttpResponse:
    """Mark a take, all parts or one, ending it where it is still rolling."""
    take = _take_of(request, pk)
    wanted = request.POST.get("mark", "")
    if wanted not in Mark.values:
        messages.error(request, "That mark is not in the legend: choose one of the buttons.")
        return redirect(_back(request, take))
    try:
        earlier = mark_take(take, seen=_seen(request, take), mark=wanted)
    except TakeRefused as refusal:
        messages.error(request, str(refusal))
    except EditedMeanwhile as edited:
        return _pressed_meanwhile(request, edited.current, mark=wanted)
    else:
        messages.success(request, f"{take}: {Mark(wanted).label.lower()}.")
        _tell_of_earlier_masters(request, earlier)
    return redirect(_back(request, take))


@require_POST
def circle(request: HttpRequest, pk: int) -> HttpResponse:
    """Circle parts of a take, or remove their circle."""
    take = _take_of(request, pk)
    circled = request.POST.get("circled") == "1"
    try:
        circle_parts(take, seen=_seen(request, take), circled=circled)
    except TakeRefused as refusal:
        messages.error(request, str(refusal))
    except EditedMeanwhile as edited:
        return _pressed_meanwhile(request, edited.current, circled=circled)
    else:
        state = "circled: chosen" if circled else "no longer circled"
        messages.success(request, f"{take} {state}.")
    return redirect(_back(request, take))


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """A take: what it was recorded through, how each part came out; its pass put right."""
    take = _take_of(request, pk)
    form = PassForm(request.POST or None, instance=take)
    return edit_page(
        request,
        form,
        title=f"{take} of {take.song}",
        crumbs=_crumbs(take),
        template="sessions/takes/take_form.html",
        take=take,
        this_take=Take.objects.for_list().filter(pk=pk),
    )


def edit_part(request: HttpRequest, pk: int) -> HttpResponse:
    """Put one part of a take right; where somebody else saved meanwhile, show both versions."""
    parts = TakePart.objects.visible_to(request.user)
    part = get_object_or_404(parts.select_related("take__session", "take__song", "part"), pk=pk)
    form = TakePartForm(request.POST or None, instance=part)

    def save(version: int) -> TakePart:
        earlier = correct_part(part, version=version, **form.cleaned_data)
        _tell_of_earlier_masters(request, earlier)
        return part

    return edit_page(request, form, save=save, **_page_of(part))


def _seen(request, take: Take) -> dict[int, int]:
    """The versions of parts of the take that the page showed, by their keys; none: of all, no version."""
    pairs = (seen.partition(".")[::2] for seen in request.POST.getlist("seen"))
    named = {whole_number(key): version_in(version) for key, version in pairs}
    known = take.take_parts.values_list("pk", flat=True)
    return {key: named[key] for key in known if key in named} or dict.fromkeys(known, 0)


def _pressed_meanwhile(request, part: TakePart, **pressed) -> HttpResponse:
    """The form of the part as it is now but for what was `pressed`, to be saved once more."""
    form = TakePartForm(model_to_dict(part, TakePartForm.Meta.fields) | pressed, instance=part)
    return meanwhile_page(request, form, part, **_page_of(part))


def _page_of(part: TakePart) -> dict:
    """What the form page of a part of a take is given."""
    return {
        "title": f"{part} of {part.take.song}",
        "crumbs": _crumbs(part.take),
        "address": reverse("takes:edit_part", args=[part.pk]),
    }


def _crumbs(take: Take) -> list[tuple[str, str]]:
    return [
        (str(take.session), take.session.get_absolute_url()),
        ("Takes", _takes_page(take.session, _query(take.song))),
    ]


def _tell_of_earlier_masters(request, earlier: list[TakePart]) -> None:
    for each in earlier:
        messages.info(request, f"{each} was the master until now: it is marked hold.")


def _back(request, take: Take) -> str:
    """To the tracking page as it was."""
    return _takes_page(take.session, request.POST.get("now") or _query(take.song))
