"""Projects and clients that somebody may mean: a few to begin with, and more by what is typed."""

from django.db.models import Q, QuerySet
from django.urls import reverse_lazy

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Project

LISTED = 50  # to begin with: the newest, and those of as many sessions booked last
FOUND = 20
KNOWN = {
    kind: reverse_lazy("bookings:known", query={"of": kind}) for kind in ("projects", "clients")
}


def known_projects(*chosen) -> tuple[QuerySet, QuerySet]:
    """Projects that a session may be for, and those of them that are listed unasked, by client."""
    keys = [key for key in chosen if str(key or "").isdecimal()]
    projects = Project.objects.current_or(*keys).select_related("client")
    newest = Project.objects.current().order_by("-pk").values("pk")[:LISTED]
    last = RecordingSession.objects.order_by("-pk").values("project")[:LISTED]
    listed = projects.filter(
        Q(pk__in=[each["pk"] for each in newest])
        | Q(pk__in=[each["project"] for each in last])
        | Q(pk__in=keys)
    )
    return projects, listed.order_by("client__name", "name")


def known_clients() -> list[str]:
    """The newest. A query."""
    return list(Client.objects.current().order_by("-pk").values_list("name", flat=True)[:LISTED])


def projects_named(typed: str) -> QuerySet:
    """Those that have every word in the name of the project, its artist or its client."""
    found = Project.objects.current().select_related("client")
    for word in typed.split():
        found = found.filter(
            Q(name__icontains=word) | Q(artist__icontains=word) | Q(client__name__icontains=word)
        )
    return found.order_by("client__name", "name")[:FOUND]


def clients_named(typed: str) -> QuerySet:
    found = Client.objects.current()
    for word in typed.split():
        found = found.filter(name__icontains=word)
    return found[:FOUND]
