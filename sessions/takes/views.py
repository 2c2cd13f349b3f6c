from django.contrib import messages
from django.forms import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from gear.asked import whole_number
from gear.comma_separated import csv_answer
from gear.editing.form_pages import edit_page, meanwhile_page
from sessions.bookings.models import RecordingSession
from sessions.songs.models import Song
from sessions.takes.actions import correct_part, settle_doubt
from sessions.takes.forms import PassForm, TakePartForm
from sessions.takes.models import RevisionInDoubt, Take, TakePart
from sessions.takes.take_csv import COLUMNS, csv_rows

ON_A_PAGE = 50  # takes


def _take_of(request, pk) -> Take:
    takes = Take.objects.visible_to(request.user).select_related("session", "song")
    return get_object_or_404(takes, pk=pk)


def _session_of(request, pk) -> RecordingSession:
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(sessions, pk=pk)


@require_safe
def session_list(request: HttpRequest, pk: int) -> HttpResponse:
    """All takes of a session."""
    session = _session_of(request, pk)
    before = session.takes.filter(pk=_before(request)).first()
    context = {"session": session, **_page(session.takes.newest(before))}
    return TemplateResponse(request, "sessions/takes/session_list.html", context)


@require_safe
def song_list(request: HttpRequest, pk: int) -> HttpResponse:
    """All takes of a song, of whatever session."""
    song = get_object_or_404(Song.objects.visible_to(request.user), pk=pk)
    before = song.takes.filter(pk=_before(request)).first()
    takes = song.takes.filter(number__lt=before.number) if before else song.takes
    context = {"song": song, **_page(takes.order_by("-number"))}
    return TemplateResponse(request, "sessions/takes/song_list.html", context)


def _before(request: HttpRequest) -> int | None:
    """The key of the take whose elders are asked for."""
    return whole_number(request.GET.get("before"))


def _page(takes) -> dict:
    """The first of them, and after which one it goes on: nobody counts how many there are."""
    shown = list(takes.for_list()[: ON_A_PAGE + 1])
    goes_on = len(shown) > ON_A_PAGE
    return {"takes": shown[:ON_A_PAGE], "older": shown[ON_A_PAGE - 1].pk if goes_on else None}


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
def settle(request: HttpRequest, pk: int) -> HttpResponse:
    """Say whether a take that was pressed off line went through a revision that was changed after it."""
    theirs = Take.objects.visible_to(request.user)
    doubt = get_object_or_404(RevisionInDoubt, pk=pk, take__in=theirs)
    settle_doubt(doubt, stood=request.POST.get("stood") == "1")
    return redirect("takes:edit", doubt.take_id)


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """A take: what it was recorded through, how each part came out; its pass put right."""
    take = _take_of(request, pk)
    form = PassForm(request.POST or None, instance=take)
    return edit_page(
        request,
        form,
        template="sessions/takes/take_form.html",
        take=take,
        this_take=Take.objects.for_list().filter(pk=pk),
        in_doubt=take.in_doubt.select_related("revision__chain__source"),
        presses=take.presses.select_related("user"),
        **_page_of_take(take),
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


def note_meanwhile(request: HttpRequest, take: Take, note: str) -> HttpResponse:
    """The form of the take as it is now but for the note that was typed, to be saved once more."""
    form = PassForm(model_to_dict(take, PassForm.Meta.fields) | {"note": note}, instance=take)
    return meanwhile_page(request, form, take, **_page_of_take(take))


def pressed_meanwhile(request: HttpRequest, part: TakePart, **pressed) -> HttpResponse:
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


def _page_of_take(take: Take) -> dict:
    return {
        "title": f"{take} of {take.song}",
        "crumbs": _crumbs(take),
        "address": reverse("takes:edit", args=[take.pk]),
    }


def _crumbs(take: Take) -> list[tuple[str, str]]:
    return [
        (str(take.session), take.session.get_absolute_url()),
        ("Takes", f"{reverse('takes:session', args=[take.session_id])}?song={take.song_id}"),
    ]


def _tell_of_earlier_masters(request, earlier: list[TakePart]) -> None:
    for each in earlier:
        messages.info(request, f"{each} was the master until now: it is marked hold.")
