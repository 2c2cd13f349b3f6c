from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from gear.editing.form_pages import edit_page, form_page, trail
from sessions.deliverables.formats import FORMATS
from sessions.deliverables.listening.actions import add_note, give_verdict, set_bar_one
from sessions.deliverables.listening.forms import AnswerForm, BarOneForm, NoteForm, VerdictForm
from sessions.deliverables.listening.models import LightCopy, MixNote
from sessions.deliverables.listening.song_places import song_places
from sessions.deliverables.models import Deliverable
from sessions.papers.ranges import file_answer


@require_safe
@cache_control(private=True, no_cache=True)
def light_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """The light copy of a file, by the file's number."""
    copies = LightCopy.objects.visible_to(request.user).made()
    return light_copy_answer(request, get_object_or_404(copies, source=pk))


def light_copy_answer(request: HttpRequest, copy: LightCopy) -> HttpResponse:
    """It, streamed, whole or the stretch that was asked for; for whoever may listen to it."""
    try:
        return file_answer(
            request,
            copy.file,
            etag=f'"{copy.sha256}"',
            content_type=FORMATS["mp4"].content_type,
        )
    except FileNotFoundError as missing:
        raise Http404("The light copy is missing from the storage.") from missing


def note_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Say something about a place in the mix. Its page has this form, too."""
    deliverable = _deliverable(request, pk)
    places = song_places(deliverable.song)
    form = NoteForm(request.POST or None, deliverable=deliverable, places=places)
    if form.is_valid():
        note = add_note(deliverable, **form.note, by=request.user)
        messages.success(request, f"{note} saved.")
        return redirect(f"{deliverable.get_absolute_url()}#notes")
    return form_page(request, form, title="Note", crumbs=_crumbs(deliverable))


def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer a note, and say whether what it asks for is done."""
    notes = MixNote.objects.visible_to(request.user)
    notes = notes.select_related("deliverable__song", "section", "line__section", "by")
    note = get_object_or_404(notes, pk=pk)
    form = AnswerForm(request.POST or None, instance=note)
    return edit_page(
        request,
        form,
        title="Answer",
        crumbs=_crumbs(note.deliverable),
        to=f"{note.deliverable.get_absolute_url()}#notes",
        template="sessions/deliverables/listening/answer.html",
    )


def bar_one(request: HttpRequest, pk: int) -> HttpResponse:
    """Say where bar 1 of the song begins in the files. Its page has this form, too."""
    deliverable = _deliverable(request, pk)
    form = BarOneForm(request.POST or None)
    if form.is_valid():
        set_bar_one(deliverable, seconds=form.cleaned_data["time"], by=request.user)
        messages.success(request, f"{deliverable} saved.")
        return redirect(f"{deliverable.get_absolute_url()}#listen")
    return form_page(request, form, title="Where bar 1 begins", crumbs=_crumbs(deliverable))


def verdict(request: HttpRequest, pk: int) -> HttpResponse:
    """Approve this version of the mix, or want changes. Its page has this form, too."""
    deliverable = _deliverable(request, pk)
    form = VerdictForm(request.POST or None)
    if form.is_valid():
        given = give_verdict(deliverable, **form.cleaned_data, by=request.user)
        messages.success(request, f"{given}.")
        return redirect(deliverable)
    return form_page(request, form, title="Verdict", crumbs=_crumbs(deliverable))


def _deliverable(request, pk) -> Deliverable:
    deliverables = Deliverable.objects.visible_to(request.user).select_related("song__project")
    return get_object_or_404(deliverables, pk=pk)


def _crumbs(deliverable: Deliverable) -> list[tuple[str, str]]:
    return trail(("Songs", "songs:list"), deliverable.song, deliverable)
