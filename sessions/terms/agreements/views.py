"""The form of what the house, a client or a project has agreed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from gear.editing.form_pages import Crumbs, edit_page, trail
from sessions.clients.models import Client, Project
from sessions.terms.agreements.actions import agree
from sessions.terms.agreements.forms import AgreementForm
from sessions.terms.agreements.models import Agreement

CLIENTS = ("Clients", "clients:list")


def of_house(request: HttpRequest) -> HttpResponse:
    crumbs = [("House rules", reverse("rooms:house_rules"))]
    return _page(request, crumbs, client=None, project=None)


def of_client(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    return _page(request, trail(CLIENTS, client), client=client, project=None)


def of_project(request: HttpRequest, pk: int) -> HttpResponse:
    projects = Project.objects.visible_to(request.user).select_related("client")
    project = get_object_or_404(projects, pk=pk)
    return _page(request, trail(CLIENTS, project.client, project), client=None, project=project)


def _page(request: HttpRequest, crumbs: Crumbs, **whose) -> HttpResponse:
    found = Agreement.objects.select_related("client", "project__client").filter(**whose)
    form = AgreementForm(request.POST or None, instance=found.first() or Agreement(**whose))
    return edit_page(
        request,
        form,
        save=lambda version: agree(
            Agreement(**whose), version=version, **form.cleaned_data, by=request.user
        ),
        title=str(form.instance),
        then=f"{form.instance} saved.",
        crumbs=crumbs,
    )
