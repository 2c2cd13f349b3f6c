from itertools import chain

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from gear.editing.form_pages import confirm_page, edit_page
from gear.editing.versions import differences
from gear.panels.models import Control
from sessions.editing.presses import Press
from sessions.papers.ranges import file_answer
from sessions.pictures.decoding import NotAPicture
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.models import Photo, Revision, Setup, Stage
from sessions.setups.photos.actions import PhotoKept, remove_photo, take_photo
from sessions.setups.photos.changes import chain_photos, setup_photos
from sessions.setups.photos.forms import PhotoForm, PhotoTakeForm
from sessions.setups.photos.reduced import reduced
from sessions.setups.photos.subjects import subjects_of


def _setup_of(request, pk: int) -> Setup:
    setups = Setup.objects.visible_to(request.user).with_chains().prefetch_related("groups")
    return get_object_or_404(setups, pk=pk)


def _photo_of(request, pk: int) -> Photo:
    photos = Photo.objects.visible_to(request.user).select_related(
        "setup__session__project", "revision__chain", "taken_by"
    )
    return get_object_or_404(photos, pk=pk)


def _crumbs(setup: Setup) -> list[tuple[str, str]]:
    return [*crumbs_of(setup.session), ("Photographs", reverse("setups:photos", args=[setup.pk]))]


def photos(request: HttpRequest, pk: int) -> HttpResponse:
    """All photographs of a setup, and what can be photographed in it."""
    setup = _setup_of(request, pk)
    revisions = [each.newest_revision() for each in setup.chains.all()]
    chains = [(revision, chain_photos(revision)) for revision in revisions]
    there = list(setup.photos.for_list())
    whole = setup_photos(there, revisions)
    shown = {each.photo.pk for each in [*whole, *chain.from_iterable(of for _, of in chains)]}
    context = {
        "setup": setup,
        "session": setup.session,
        "crumbs": [*_crumbs(setup)[:-1], ("Photographs", "")],
        "whole": whole,
        "chains": [(revision.chain, of_chain) for revision, of_chain in chains if of_chain],
        "earlier": [photo for photo in there if photo.pk not in shown],
        "removed": Photo.history.filter(setup=setup.pk, history_type="-").select_related(
            "history_user"
        ),
        "subjects": [(key, of) for key, of in subjects_of(setup).items() if of.revision is None],
    }
    return TemplateResponse(request, "sessions/setups/photos/photos.html", context)


@transaction.non_atomic_requests
def photo_take(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a picture (`?about=` says of what); it is kept only where it can be read."""
    setup = _setup_of(request, pk)
    subjects = subjects_of(setup)
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = PhotoTakeForm(
        *sent, subjects=subjects, initial={"about": request.GET.get("about", "setup")}
    )
    if form.is_valid():
        typed = form.cleaned_data

        def say_so(photo: Photo) -> None:
            press = Press.objects.claim(request)
            messages.success(request, f"{photo} is photographed.")
            press.keep_answer(request, _place_of(photo))

        try:
            photo = take_photo(
                subjects[typed["about"]],
                upload=typed["picture"],
                caption=typed["caption"],
                by=request.user,
                then=say_so,
            )
        except NotAPicture as refusal:
            form.add_error("picture", str(refusal))
        else:
            return redirect(_place_of(photo))
    context = {"setup": setup, "form": form, "crumbs": [*_crumbs(setup), ("New photograph", "")]}
    return TemplateResponse(
        request,
        "sessions/setups/photos/photo_take.html",
        context,
        status=422 if form.is_bound else 200,
    )


def _place_of(photo: Photo) -> str:
    """The page that shows it among others."""
    if photo.revision is None:
        return reverse("setups:photos", args=[photo.setup_id])
    return f"{photo.revision.chain.get_absolute_url()}#photos"


def photo(request: HttpRequest, pk: int) -> HttpResponse:
    """One photograph, large."""
    photo = _photo_of(request, pk)
    stage = _stage_of(photo)
    controls = stage.controls() if stage else []
    context = {
        "photo": photo,
        "crumbs": [*_crumbs(photo.setup), (str(photo), "")],
        "reads": [control for control in controls if control.key in photo.reads],
        "shown": _shown(photo),
    }
    return TemplateResponse(request, "sessions/setups/photos/photo.html", context)


def photo_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Its caption, and which controls are to be read on it."""
    photo = _photo_of(request, pk)
    controls = _not_logged(photo)
    form = PhotoForm(request.POST or None, instance=photo, controls=controls)
    return edit_page(
        request,
        form,
        compare=lambda saved: differences(form, PhotoForm(instance=saved, controls=controls)),
        crumbs=[*_crumbs(photo.setup), (str(photo), photo.get_absolute_url())],
        title="Edit photograph",
        template="sessions/setups/photos/photo_edit.html",
    )


def _stage_of(photo: Photo) -> Stage | None:
    """Of a unit's photograph, where that unit stands in the revision that it shows."""
    if photo.revision is None or photo.unit_id is None:
        return None
    stages = photo.revision.stages.for_list()
    return stages.filter(unit=photo.unit_id, channel=photo.channel).first()


def _not_logged(photo: Photo) -> list[Control]:
    stage = _stage_of(photo)
    return [each for each in stage.controls() if stage.setting(each) is None] if stage else []


def _shown(photo: Photo):
    """Beside the chain, or the setup, as it stands now; None where it is not in force any more."""
    newest = Revision.objects.newest().filter(chain__setup=photo.setup).with_stages()
    if photo.revision is None:
        return next(iter(setup_photos([photo], newest)), None)
    of_chain = chain_photos(newest.get(chain=photo.revision.chain))
    return next((each for each in of_chain if each.photo == photo), None)


@require_safe
@cache_control(private=True, max_age=24 * 60 * 60)
def photo_file(request: HttpRequest, pk: int) -> HttpResponse:
    """The picture itself; `?small` a reduced one."""
    photo = _photo_of(request, pk)
    is_small = "small" in request.GET
    etag = f'"{photo.sha256}{"-small" if is_small else ""}"'
    try:
        if not is_small:
            return file_answer(request, photo.file, etag=etag, content_type="image/jpeg")
        if known := get_conditional_response(request, etag=etag):
            return known
        return HttpResponse(reduced(photo), content_type="image/jpeg", headers={"ETag": etag})
    except FileNotFoundError as missing:
        raise Http404("The picture’s file is missing: look for it in the backup.") from missing


def photo_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then remove it; what takes used stays."""
    photo = _photo_of(request, pk)
    back = _place_of(photo)
    if request.method == "POST":
        try:
            remove_photo(photo, by=request.user)
            messages.success(request, f"{photo}: the photograph is removed.")
        except PhotoKept as refusal:
            messages.warning(request, str(refusal))
        return redirect(back)
    return confirm_page(
        request,
        question="Remove this photograph?",
        text=f"{photo}. Controls that were to be read on it are not logged then.",
        action="Remove",
        title="Remove photograph",
        crumbs=[*_crumbs(photo.setup), (str(photo), photo.get_absolute_url())],
    )
