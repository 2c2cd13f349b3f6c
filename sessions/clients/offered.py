"""What a list's filter offers of a house that has had thousands."""

from django.db.models import Q, QuerySet
from django.http import HttpRequest

from gear.asked import whole_number
from sessions.clients.models import Project

OFFERED = 200  # the others are found by their names, on their own lists


def newest(rows: QuerySet, request: HttpRequest, name: str) -> QuerySet:
    """The newest of them, and the one that the address asks for by this name."""
    asked = Q(pk=whole_number(request.GET.get(name)))
    return rows.filter(Q(pk__in=rows.order_by("-pk").values("pk")[:OFFERED]) | asked)


def newest_projects(request: HttpRequest) -> QuerySet:
    return newest(Project.objects.visible_to(request.user), request, "project")
