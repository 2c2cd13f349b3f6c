from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.editing.form_pages import create_page, edit_page, trail
from gear.list_pages import list_page
from sessions.clients.filters import ClientFilter, PersonFilter
from sessions.clients.forms import ClientForm, PersonForm, ProjectForm
from sessions.clients.models import Client, Person, Project
from sessions.clients.plans import away_to_come, booked_to_come, credited_to_come
from sessions.clients.tables import ClientTable, PersonTable

CLIENTS = ("Clients", "clients:list")
PEOPLE = ("People", "clients:people")


def client_list(request: HttpRequest) -> HttpResponse:
    clients = ClientFilter(request.GET, Client.objects.for_list())
    template = "sessions/clients/client_list.html"
    return list_page(request, ClientTable(clients.qs), template, {"filter": clients})


def client_create(request: HttpRequest) -> HttpResponse:
    form = ClientForm(request.POST or None)
    return create_page(request, form, title="New client", crumbs=trail(CLIENTS))


def client_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """A client with contacts, projects and their sessions, the latest first."""
    client = get_object_or_404(Client, pk=pk)
    projects = client.projects.for_list().prefetch_related("recording_sessions")
    sessions = [session for project in projects for session in project.recording_sessions.all()]
    context = {
        "client": client,
        "people": client.people.current(),
        "projects": projects,
        "letters": client.letters.for_panel(request.user),
        "invoices": client.invoices.visible_to(request.user),
        "sessions": sorted(sessions, key=lambda session: session.starts_at, reverse=True),
    }
    return TemplateResponse(request, "sessions/clients/client_detail.html", context)


def client_edit(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    form = ClientForm(request.POST or None, instance=client)
    return edit_page(request, form, crumbs=trail(CLIENTS, client))


def people(request: HttpRequest) -> HttpResponse:
    found = PersonFilter(request.GET, Person.objects.for_list())
    template = "sessions/clients/people.html"
    return list_page(request, PersonTable(found.qs), template, {"filter": found})


def person_create(request: HttpRequest) -> HttpResponse:
    """A new person; the address may name the client whose contact or member they are."""
    form = PersonForm(request.POST or None, initial={"client": request.GET.get("client")})
    return create_page(request, form, title="New person", crumbs=trail(PEOPLE))


def person_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """A person: how to reach them, what they are booked and credited for, and what they were written."""
    people = Person.objects.select_related("client", "user")
    person, now = get_object_or_404(people, pk=pk), timezone.now()
    context = {
        "person": person,
        "reservations": booked_to_come(person, now),
        "credits": credited_to_come(person, now),
        "away": away_to_come(person, now),
        "feeds": person.feeds.visible_to(request.user).standing(now).order_by("-made_at"),
        "letters": person.letters.for_panel(request.user),
    }
    return TemplateResponse(request, "sessions/clients/person_detail.html", context)


def person_edit(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Person, pk=pk)
    form = PersonForm(request.POST or None, instance=person)
    return edit_page(request, form, crumbs=trail(PEOPLE, person))


def project_create(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    form = ProjectForm(request.POST or None, instance=Project(client=client))
    return create_page(
        request,
        form,
        title="New project",
        crumbs=trail(CLIENTS, client),
        template="sessions/clients/project_form.html",
    )


def project_detail(request: HttpRequest, pk: int) -> HttpResponse:
    projects = Project.objects.visible_to(request.user).select_related("client")
    project = get_object_or_404(projects, pk=pk)
    context = {
        "project": project,
        "songs": project.songs.for_list(),
        "sessions": project.recording_sessions.order_by("-starts_at"),
        "mix_engineers": project.mix_engineers.all(),
    }
    return TemplateResponse(request, "sessions/clients/project_detail.html", context)


def project_edit(request: HttpRequest, pk: int) -> HttpResponse:
    projects = Project.objects.visible_to(request.user).select_related("client")
    project = get_object_or_404(projects, pk=pk)
    form = ProjectForm(request.POST or None, instance=project)
    return edit_page(
        request,
        form,
        crumbs=trail(CLIENTS, project.client, project),
        template="sessions/clients/project_form.html",
    )
