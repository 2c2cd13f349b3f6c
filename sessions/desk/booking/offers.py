"""What fills in a good part of the form by one press: as last time, and the house's gear sets."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db.models import Model
from django.utils.http import urlencode

from sessions.bookings.models import GearSet, RecordingSession, Status
from sessions.clients.models import Client
from sessions.desk.booking.alternatives import Alternative
from sessions.periods import duration_in_words, typed
from sessions.rooms.models import HouseRules
from sessions.rooms.resources import FIELDS, by_kind


def last_session_of(client: Client) -> RecordingSession | None:
    """The one that they booked for the latest time, with what it takes."""
    booked = RecordingSession.objects.filter(project__client=client)
    return booked.exclude(status=Status.CANCELLED).for_list().order_by("-starts_at").first()


def usual_length(last: RecordingSession | None) -> timedelta:
    """As long as last time, else the house's usual. A query without a last time."""
    if last and not last.lockout:
        return last.duration
    return timedelta(hours=usual_hours())


def usual_hours() -> int:
    """The house's, or the default where it has no rules yet. A query, which writes nothing."""
    return (HouseRules.objects.first() or HouseRules()).session_hours


def as_last_time(
    last: RecordingSession, *, starts_at: datetime | None, offered: Iterable[Model]
) -> Alternative | None:
    """The same rooms, people, gear and length, as far as they are to be had today."""
    offered = set(offered)
    reservations = [each for each in last.reservations.all() if each.resource in offered]
    kinds = by_kind(each.resource for each in reservations)
    if not kinds["room"]:
        return None
    taken: dict[str, object] = {
        FIELDS[kind]: [each.pk for each in of_kind] or [""] for kind, of_kind in kinds.items()
    }
    if starts_at:
        taken["ends_at"] = typed(starts_at + last.duration)
    room = next(each for each in reservations if each.room_id)
    taken |= {"load_in_minutes": room.before_minutes, "teardown_minutes": room.after_minutes}
    names = [str(each) for each in [*kinds["room"], *kinds["person"]]]
    if units := len(kinds["unit"]):
        names.append("1 unit" if units == 1 else f"{units} units")
    said = f"{', '.join(names)}, {duration_in_words(last.duration)} (“{last}”)."
    return Alternative(said, urlencode(taken, doseq=True))


def gear_sets(chosen: Iterable[Model], offered: Iterable[Model]) -> list[Alternative]:
    """The sets that add something: what is out of service is left out. Two queries."""
    chosen, offered = set(chosen), set(offered)
    sets = []
    for each in GearSet.objects.for_list().filter(retired=False):
        units = each.units.all()
        wanted = [unit for unit in units if unit in offered and unit not in chosen]
        if not wanted:
            continue
        out = [unit.asset_tag for unit in units if unit not in offered]
        said = f"{each}: {', '.join(unit.asset_tag for unit in wanted)}"
        said = f"{said} (without {', '.join(out)}: not in service)." if out else f"{said}."
        sets.append(Alternative(said, urlencode({"+units": [u.pk for u in wanted]}, doseq=True)))
    return sets
