"""What a new booking starts from: what the address of the form says, and the usual for the rest."""

from datetime import datetime, time

from django.http import QueryDict
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime

from gear.asked import whole_number
from sessions.clients.models import Client, Project
from sessions.desk.booking.offers import last_session_of, usual_length

USUAL_HOUR = time(10)  # of a day that is named alone


def wanted_by(asked: QueryDict) -> dict:
    """`?project=1&room=2&starts=2026-06-01T10:00` and the like. Of a `day` alone the usual hour, of a
    start alone the length of the client’s last session, of a `client` alone their newest project."""
    client = Client.objects.current().filter(pk=whole_number(asked.get("client"))).first()
    project = _project(asked.get("project"), client)
    payer = project.client if project else client
    starts_at = asked.get("starts") or _start_on(asked.get("day", ""))
    return {
        "project": project.pk if project else asked.get("project"),
        "client": client.name if client and not project else "",
        "starts_at": starts_at,
        "ends_at": asked.get("ends") or _end_of(starts_at, payer),
        "load_in_minutes": asked.get("load_in"),
        "teardown_minutes": asked.get("teardown"),
        "rooms": asked.getlist("room"),
        "people": asked.getlist("person"),
        "units": asked.getlist("unit"),
    }


def _project(named: str | None, client: Client | None) -> Project | None:
    projects = Project.objects.select_related("client")
    if named:
        return projects.filter(pk=whole_number(named)).first()
    return client and projects.current().filter(client=client).order_by("-pk").first()


def _start_on(day: str) -> str:
    try:
        found = parse_date(day)
    except ValueError:
        return ""
    return f"{datetime.combine(found, USUAL_HOUR):%Y-%m-%dT%H:%M}" if found else ""


def _end_of(starts_at: str, client: Client | None) -> str:
    """On the clock, as a form’s field has it; empty where the start is no time on the studio’s."""
    try:
        start = parse_datetime(starts_at)
        if not start or timezone.is_aware(start):
            return ""
        return f"{start + usual_length(client and last_session_of(client)):%Y-%m-%dT%H:%M}"
    except (ValueError, OverflowError):
        return ""
