"""Say when a room is open and when a person works; give the studio its logo."""

from collections.abc import Sequence
from datetime import time

from gear.acting import action
from gear.editing.versions import claim_version
from sessions.clients.models import Person
from sessions.rooms.hours import hours_of
from sessions.rooms.models import Room, Studio, WeeklyHours
from sessions.rooms.resources import KINDS

Hours = tuple[int, time, time]  # weekday, from, to


@action
def set_logo(studio: Studio, *, version: int, picture: bytes, by) -> None:
    """The picture is one of ours (`sessions.pictures`); nothing is no logo. Raises EditedMeanwhile."""
    claim_version(studio, version)
    studio.logo = picture
    studio._change_reason = "Logo" if picture else "Logo removed"
    studio.save()


@action
def set_hours(resource: Room | Person, *, version: int, hours: Sequence[Hours], by) -> None:
    """Say when a room is open or a person works; no hours at all means at all hours.

    Raises EditedMeanwhile when somebody saved the room or person, or their hours, after `version`.
    """
    claim_version(resource, version)
    resource._change_reason = "Hours"
    resource.save()
    kept = set()
    for row in hours_of([resource])[resource]:
        if (row.weekday, row.opens, row.closes) in hours:
            kept.add((row.weekday, row.opens, row.closes))
        else:
            row.delete()
    for weekday, opens, closes in hours:
        if (weekday, opens, closes) not in kept:
            owner = {KINDS[type(resource)]: resource}
            WeeklyHours.objects.create(weekday=weekday, opens=opens, closes=closes, **owner)
