"""Clients and people come in by list."""

from django.http import HttpRequest, HttpResponse

from gear.lists.views import Listed, import_page
from sessions.clients.lists.clients_list import plan_clients
from sessions.clients.lists.columns import CLIENT_CELLS, PERSON_CELLS
from sessions.clients.lists.people_list import plan_people

CLIENTS = Listed(
    "client",
    "clients",
    list(CLIENT_CELLS),
    plan_clients,
    "Clients",
    "clients:list",
    ("A client is known by the name. Write yes or no under retired.",),
)
PEOPLE = Listed(
    "person",
    "people",
    list(PERSON_CELLS),
    plan_people,
    "People",
    "clients:people",
    (
        "A person is known by name and e-mail address; a line without an address means whoever has "
        "the name. The client is given by name and must exist already.",
        "Write yes or no under bookable and retired. Nobody gets a sign-in, and nobody is written to.",
    ),
)


def import_clients(request: HttpRequest) -> HttpResponse:
    return import_page(request, CLIENTS)


def import_people(request: HttpRequest) -> HttpResponse:
    return import_page(request, PEOPLE)
