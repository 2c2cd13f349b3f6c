"""Say when a room is open and when a person works."""

from collections.abc import Sequence
from datetime import time

from gear.acting import action
from gear.editing.versions import EditedMeanwhile
from sessions.clients.models import Person
from sessions.rooms.hours import hours_of
from sessions.rooms.models import Room, WeeklyHours
from sessions.rooms.resources import by_kind

Hours = tuple[int, time, time]  # weekday, from, to


@action
def set_hours(resource: Room | Person, *, hours: Sequence[Hours], seen: str, by) -> None:
    """Say when a room is open or a person works; no hours at all means at all hours.

    Raises EditedMeanwhile when somebody saved other hours after `seen` (see `hours_version`).
    """
    type(resource).objects.select_for_update().get(pk=resource.pk)  # one editor at a time
    if hours_version(resource) != seen:
        raise EditedMeanwhile(resource)
    kept = set()
    for row in hours_of([resource])[resource]:
        if (row.weekday, row.opens, row.closes) in hours:
            kept.add((row.weekday, row.opens, row.closes))
        else:
            row.delete()
    [kind] = [kind for kind, of_kind in by_kind([resource]).items() if of_kind]
    for weekday, opens, closes in hours:
        if (weekday, opens, closes) not in kept:
            WeeklyHours.objects.create(
                weekday=weekday, opens=opens, closes=closes, **{kind: resource}
            )


def hours_version(resource: Room | Person) -> str:
    """Which entry of the history of its hours is the newest; a form remembers that while open."""
    [kind] = [kind for kind, of_kind in by_kind([resource]).items() if of_kind]
    entries = WeeklyHours.history.filter(**{kind: resource}).order_by("-history_id")
    return str(entries.values_list("history_id", flat=True).first())
