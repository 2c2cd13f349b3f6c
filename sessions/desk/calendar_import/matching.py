"""What an event of somebody’s calendar most likely is here: which room, whose project, what kind."""

from collections.abc import Iterable

from django.db import models

from sessions.bookings.models import Block, RecordingSession, Status
from sessions.clients.likeness import folded
from sessions.clients.models import Project
from sessions.desk.calendar_import.child import Event
from sessions.rooms.models import Room

ALL_ROOMS = "all"


class As(models.TextChoices):
    """What becomes of an event."""

    CONFIRMED = Status.CONFIRMED, "Confirmed"
    HELD = Status.HELD, "Hold"
    BLOCK = "block", "Block"
    NOTHING = "nothing", "Leave out"


class Matching:
    """Knows rooms, projects (with their clients), and what is here already at the times of the events.
    Two queries, however many events."""

    def __init__(self, events: Iterable[Event], rooms: list[Room], projects: Iterable[Project]):
        self.rooms, self.projects = rooms, list(projects)
        starts = [event.starts_at for event in events]
        self.here = {
            (row.starts_at, row.ends_at, folded(row.title))
            for model in (RecordingSession, Block)
            for row in model.objects.filter(starts_at__in=starts)
        }

    def guess(self, event: Event) -> dict:
        """What a row of the page begins with."""
        is_here = (event.starts_at, event.ends_at, folded(event.title)) in self.here
        kind = As.NOTHING if is_here else self._kind(event)
        project = self._project(event)
        return {
            "title": event.title,
            "starts_at": event.starts_at.isoformat(),
            "ends_at": event.ends_at.isoformat(),
            "kind": kind,
            "room": self._room(event) or (ALL_ROOMS if kind == As.BLOCK else ""),
            "project": label_of(project) if project else "",
            "is_here": is_here,
        }

    @staticmethod
    def _kind(event: Event) -> As:
        if event.status == "CANCELLED" or event.takes_no_time or event.ends_at <= event.starts_at:
            return As.NOTHING
        if event.whole_days:
            return As.BLOCK
        return As.HELD if event.status == "TENTATIVE" else As.CONFIRMED

    def _room(self, event: Event) -> int | str:
        """The one that is named; the only one there is; else none."""
        named = [
            room
            for room in self.rooms
            if _names(room.name, event.place) or _names(room.name, event.title)
        ]
        found = named or self.rooms
        return found[0].pk if len(found) == 1 else ""

    def _project(self, event: Event) -> Project | None:
        """The one whose name, artist or client is named, the name first; none where several are."""
        said = f"{event.title} {event.text}"
        for fact in ("name", "artist", "client"):
            named = [each for each in self.projects if _names(str(getattr(each, fact)), said)]
            if len(named) == 1:
                return named[0]
        return None


def _names(name: str, text: str) -> bool:
    """Whether the words of the name stand in the text, one after the other."""
    wanted = folded(name)
    return bool(wanted) and f" {wanted} " in f" {folded(text)} "


def label_of(project: Project) -> str:
    """How a project is typed: by its name and its client’s."""
    return f"{project.name} · {project.client.name}"
