from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.editing.form_pages import Crumbs, create_page, edit_page, form_page, trail
from gear.editing.versions import EditedMeanwhile, version_in
from gear.list_pages import csv_asked, list_page
from gear.tables import Listing
from sessions.clients.models import Project
from sessions.deliverables.media.actions import (
    hand_over,
    removal_letter,
    remove_copy,
    tell_client,
    verify_copy,
)
from sessions.deliverables.media.checks import left_without, warnings_about_copies
from sessions.deliverables.media.forms import (
    HandoverForm,
    MediumForm,
    OfProjectForm,
    TellForm,
    VerifyForm,
)
from sessions.deliverables.media.models import Handover, MediaCopy, Medium
from sessions.deliverables.media.tables import COPY_COLUMNS, MediumTable
from sessions.letters.outbox import warning_of_unsent_letters

MEDIA = ("Media", "media:list")


def medium_list(request: HttpRequest) -> HttpResponse:
    """All drives and folders there are, with the number of copies on them."""
    table = MediumTable(Medium.objects.for_list())
    return list_page(request, table, "sessions/deliverables/media/list.html")


def medium_create(request: HttpRequest) -> HttpResponse:
    form = MediumForm(request.POST or None)
    return create_page(request, form, title="New medium", crumbs=trail(MEDIA))


def medium(request: HttpRequest, pk: int) -> HttpResponse:
    """What is on it, by project."""
    medium = get_object_or_404(Medium.objects.for_list(), pk=pk)
    listing = Listing(f"Copies on {medium}", COPY_COLUMNS, medium.copies.for_list())
    if file := csv_asked(request, listing):
        return file
    context = {
        "medium": medium,
        "copies": listing.rows,
        "listing": listing,
        "handovers": medium.handovers.select_related("project", "handed_by"),
        "crumbs": [*trail(MEDIA), (str(medium), "")],
    }
    return TemplateResponse(request, "sessions/deliverables/media/medium.html", context)


def medium_edit(request: HttpRequest, pk: int) -> HttpResponse:
    medium = get_object_or_404(Medium, pk=pk)
    form = MediumForm(request.POST or None, instance=medium)
    return edit_page(request, form, crumbs=trail(MEDIA, medium))


def _address(project: Project) -> str:
    return reverse("media:project", args=[project.pk])


def _crumbs(project: Project) -> Crumbs:
    return [*trail(("Clients", "clients:list"), project), ("Media", _address(project))]


def _project_of(request, pk: int) -> Project:
    projects = Project.objects.visible_to(request.user).select_related("client")
    return get_object_or_404(projects, pk=pk)


def project_media(request: HttpRequest, pk: int) -> HttpResponse:
    """Where a project's audio lives, and how safe that is."""
    project = _project_of(request, pk)
    copies = list(project.copies.for_list())
    listing = Listing(f"Copies of {project}", COPY_COLUMNS, copies)
    if file := csv_asked(request, listing):
        return file
    context = {
        "project": project,
        "listing": listing,
        "files": project.workstation_files.select_related("song"),
        "copies": copies,
        "warnings": warnings_about_copies(copies),
        "incoming": project.incoming_material.select_related("song", "medium"),
        "handovers": project.handovers.select_related("medium", "handed_by"),
        "crumbs": [*trail(("Clients", "clients:list"), project), ("Media", "")],
    }
    return TemplateResponse(request, "sessions/deliverables/media/project.html", context)


def add(request: HttpRequest, pk: int, form_class: type[OfProjectForm], word: str) -> HttpResponse:
    """A workstation file, copy or incoming material of a project."""
    project = _project_of(request, pk)
    thing = form_class.Meta.model(project=project)
    form = form_class(request.POST or None, instance=thing)
    if form.is_bound and form.is_valid():
        messages.success(request, f"{form.save()} saved.")
        return redirect(_address(project))
    return form_page(request, form, title=f"New {word.lower()}", crumbs=_crumbs(project))


def change(
    request: HttpRequest, pk: int, form_class: type[OfProjectForm], word: str
) -> HttpResponse:
    thing = _of_project(request, form_class.Meta.model, pk)
    form = form_class(request.POST or None, instance=thing)
    title = f"{word}: {thing}"
    return edit_page(request, form, crumbs=_crumbs(thing.project), title=title)


def _of_project(request, model: type[Model], pk: int) -> Model:
    of_theirs = model.objects.filter(project__in=Project.objects.visible_to(request.user))
    return get_object_or_404(of_theirs.select_related("project__client"), pk=pk)


def verify(request: HttpRequest, pk: int) -> HttpResponse:
    """That the copy is what it should be, and how that was seen."""
    copy = _of_project(request, MediaCopy, pk)
    form = VerifyForm(request.POST or None)
    return edit_page(
        request,
        form,
        thing=copy,
        title=f"Verify {copy}",
        crumbs=_crumbs(copy.project),
        save=lambda version: verify_copy(
            copy, by=request.user, version=version, **form.cleaned_data
        ),
        compare=lambda saved: [],
        then=f"{copy} verified.",
        action="Verified",
    )


def tell(request: HttpRequest, pk: int) -> HttpResponse:
    """The client is told before anything is removed."""
    copy = _of_project(request, MediaCopy, pk)
    form = TellForm(request.POST or None, initial={"text": removal_letter(copy)})

    def save(version: int) -> MediaCopy:
        with warning_of_unsent_letters(request):
            return tell_client(copy, by=request.user, version=version, **form.cleaned_data)

    return edit_page(
        request,
        form,
        thing=copy,
        title=f"Tell {copy.project.client}",
        crumbs=_crumbs(copy.project),
        save=save,
        compare=lambda saved: [],
        then=f"{copy.project.client} told.",
        action="Tell them",
    )


def remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then write down that the copy was removed; refused while the client was not told."""
    copy = _of_project(request, MediaCopy, pk)
    refusal = copy.why_not_removed()
    if request.method == "POST":
        try:
            remove_copy(copy, by=request.user, version=version_in(request.POST.get("seen", "")))
        except EditedMeanwhile as edited:
            messages.warning(request, f"{edited} Check it, and press again.")
        except ValidationError as refused:
            messages.warning(request, " ".join(refused.messages))
        else:
            messages.success(request, f"{copy} removed.")
            return redirect(_address(copy.project))
        return redirect(request.path)
    context = {
        "copy": copy,
        "refusal": refusal,
        "left": left_without(copy),
        "back": _address(copy.project),
        "crumbs": [*_crumbs(copy.project), ("Remove", "")],
    }
    return TemplateResponse(request, "sessions/deliverables/media/remove.html", context)


def handover_create(request: HttpRequest, pk: int) -> HttpResponse:
    """What leaves the house: whoever receives it types their name."""
    project = _project_of(request, pk)
    form = HandoverForm(request.POST or None, instance=Handover(project=project))
    if form.is_bound and form.is_valid():
        made = hand_over(project, by=request.user, **form.cleaned_data)
        messages.success(request, f"{made} signed.")
        return redirect(_address(project))
    crumbs = _crumbs(project)
    return form_page(request, form, title="Hand over", crumbs=crumbs, action="Sign")
