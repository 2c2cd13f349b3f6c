from itertools import groupby

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from gear.asked import whole_number
from sessions.bookings.models import RecordingSession
from sessions.editing.presses import Press
from sessions.takes.files.actions import (
    Added,
    Choice,
    add_files,
    discard_files,
    link_files,
    unlink_file,
)
from sessions.takes.files.forms import LARGEST_UPLOAD, DropForm, FolderForm
from sessions.takes.files.waiting import MOST_AHEAD_SECONDS, Waiting, choices_of, waiting_of
from sessions.takes.models import TakeFile

PER_PAGE = 25
CLOCK = "ahead"


def _session_of(request, pk) -> RecordingSession:
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(sessions, pk=pk)


def _file_of(request, pk) -> TakeFile:
    files = TakeFile.objects.visible_to(request.user).select_related("session", "take")
    return get_object_or_404(files, pk=pk)


def _page_of(session: RecordingSession) -> str:
    return reverse("take_files:session", args=[session.pk])


@require_safe
def session(request: HttpRequest, pk: int) -> HttpResponse:
    """Add sound files, confirm of which take each is, and see those that are linked."""
    return _page(request, _session_of(request, pk))


def _page(request, session, *, drop=None, folder=None, status=200) -> HttpResponse:
    waiting = waiting_of(session, typed_ahead=_typed_ahead(request))
    page = Paginator(session.take_files.waiting(), PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "session": session,
        "crumbs": [
            ("Sessions", reverse("bookings:list")),
            (str(session), session.get_absolute_url()),
            ("Takes", reverse("takes:session", args=[session.pk])),
            ("Files", ""),
        ],
        "drop": drop or DropForm(),
        "most": LARGEST_UPLOAD,
        "folder": folder or FolderForm(),
        "folders": settings.TAKE_FOLDERS,
        "waiting": waiting,
        "page": page,
        "matches": waiting.matches(page),
        "choices": _all_choices(session, waiting),
        "linked": TakeFile.objects.filter(take__session=session).for_list(),
    }
    return TemplateResponse(request, "sessions/takes/files/session.html", context, status=status)


def _typed_ahead(request) -> int | None:
    """Seconds by which the recorder's clock was ahead; below zero, behind."""
    typed = (request.POST.get(CLOCK) or request.GET.get(CLOCK) or "").strip().replace("−", "-")
    number = whole_number(typed.removeprefix("-"))
    if number is None or number > MOST_AHEAD_SECONDS:
        return None
    return -number if typed.startswith("-") else number


def _all_choices(session, waiting: Waiting) -> list[tuple[str, list]]:
    """By song, those of this session's takes."""
    own = [take for take in waiting.takes if take.session_id == session.pk]
    return [
        (str(song), [choice for take in takes for choice in choices_of(take)])
        for song, takes in groupby(own, key=lambda take: take.song)
    ]


@require_POST
@transaction.non_atomic_requests
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Files from the browser: their headers, or all of them."""
    session = _session_of(request, pk)
    form = DropForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, session, drop=form, status=422)
    return _add(request, session, form.cleaned_data["found"])


@require_POST
@transaction.non_atomic_requests
def folder(request: HttpRequest, pk: int) -> HttpResponse:
    """Files in a folder of the server."""
    session = _session_of(request, pk)
    form = FolderForm(request.POST)
    if not form.is_valid():
        return _page(request, session, folder=form, status=422)
    read = form.cleaned_data["read"]
    for left_out in read.left_out:
        messages.warning(request, left_out)
    return _add(request, session, read.files, folder=form.cleaned_data["root"])


def _add(request, session, files, *, folder: str = "") -> HttpResponse:
    def say_so(added: Added) -> None:
        press = Press.objects.claim(request)
        _tell(request, added)
        press.keep_answer(request, _page_of(session))

    add_files(session, files, folder=folder, by=request.user, then=say_so)
    return redirect(_page_of(session))


def _tell(request, added: Added) -> None:
    if added.new:
        messages.success(request, f"{_files(added.new)} added: confirm their takes below.")
    for each in added.known[:5]:
        state = f"linked to {each.take} of {each.take.song}" if each.take else "waiting"
        messages.info(request, f"{each} is here already, {state}.")
    if more := len(added.known[5:]):
        messages.info(request, f"And {more} more are here already.")
    if added.not_wave:
        names = ", ".join(added.not_wave[:5])
        messages.warning(request, f"No WAV files, left out: {names}.")


def _files(files: list) -> str:
    return "1 file" if len(files) == 1 else f"{len(files)} files"


@require_POST
def link(request: HttpRequest, pk: int) -> HttpResponse:
    """Link each file to the take that was chosen for it; those without a choice go on waiting."""
    session = _session_of(request, pk)
    waiting = waiting_of(session, typed_ahead=_typed_ahead(request))
    asked = {
        key: value
        for name, value in request.POST.items()
        if value and (key := whole_number(name.removeprefix("of-")))
    }
    files = list(session.take_files.filter(pk__in=asked))
    choices = [_choice(match, asked[match.file.pk], waiting) for match in waiting.matches(files)]
    chosen = [choice for choice in choices if choice]
    linked, meanwhile = link_files(chosen, by=request.user)
    for each in meanwhile:
        messages.warning(
            request, f"{each} was linked to {each.take} of {each.take.song} meanwhile: it stays so."
        )
    if linked:
        messages.success(request, f"{_files(linked)} linked.")
    elif not meanwhile:
        messages.warning(request, "Nothing was linked: choose a take for a file first.")
    return redirect(_page_of(session))


def _choice(match, key: str, waiting: Waiting) -> Choice | None:
    """What was chosen for a file, with the reason if it was suggested; None: no take of this page."""
    take_key, _, part_key = key.partition(".")
    take = next((each for each in waiting.takes if str(each.pk) == take_key), None)
    if take is None:
        return None
    parts = {str(each.part.pk): each.part for each in take.take_parts.all()}
    if part_key and part_key not in parts:
        return None
    suggested = next((each for each in match.suggestions if each.key == key), None)
    reason = waiting.reason(suggested) if suggested else "chosen by hand"
    return Choice(match.file, take, parts.get(part_key), reason)


@require_POST
def unlink(request: HttpRequest, pk: int) -> HttpResponse:
    """Undo a link: the file waits again."""
    file = _file_of(request, pk)
    unlink_file(file, by=request.user)
    messages.success(request, f"{file} is no longer linked: it waits for confirmation.")
    return redirect(_page_of(file.session))


@require_POST
def discard(request: HttpRequest, pk: int) -> HttpResponse:
    """Forget a file that waits."""
    file = _file_of(request, pk)
    if discard_files([file], by=request.user):
        messages.success(request, f"{file} removed from this page. The file itself stays.")
    else:
        messages.warning(request, f"{file} is linked by now: undo that first.")
    return redirect(_page_of(file.session))
