"""What else could be booked, where something is taken or closed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from operator import itemgetter
from urllib.parse import parse_qs

from django.db.models import Model
from django.http import QueryDict
from django.utils import timezone
from django.utils.http import urlencode

from gear.equipment.models import Unit
from sessions.bookings.clashes import ClashError
from sessions.bookings.free.search import earliest, free_times, latest, widened
from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.bookings.padding import Padding, usual_padding
from sessions.bookings.stand_ins.likeness import Roles, likeness
from sessions.clients.models import Person
from sessions.periods import Period, period_in_words, typed
from sessions.rooms.models import Room
from sessions.rooms.resources import FIELDS, KINDS, by_kind

REACH = timedelta(days=14)  # how far before and after another time is looked for
OTHERS = 3  # in place of one thing
# Fields of the form that an alternative may change; "+units" adds to what is ticked.
TAKEN = {*FIELDS.values(), "+units", "starts_at", "ends_at", "queue_behind"}
TAKEN |= {"load_in_minutes", "teardown_minutes"}


@dataclass(frozen=True)
class Alternative:
    """A change of what was asked for, and the fields of the form as it would have them."""

    sentence: str
    take: str  # "rooms=3&rooms=5", "starts_at=…&ends_at=…"


def alternatives(
    refusal: ClashError | OutsideHoursError,
    *,
    rooms: Iterable[Room],
    people: Iterable[Person],
    units: Iterable[Unit],
    starts_at: datetime,
    ends_at: datetime,
    padding: Mapping[Model, Padding] | None = None,
    at_all_hours: bool = False,
    ignoring: RecordingSession | None = None,
) -> list[Alternative]:
    """Others in place of what is in the way, then the nearest times at which everything is free.

    A lockout, or what is booked all the same, is wanted `at_all_hours`.

    At most one query for other rooms, two for people, one for units, and two for their free time.
    """
    asked = [*rooms, *people, *units]
    in_the_way = _in_the_way(refusal)
    others = _others(in_the_way, asked)
    padding = {each: usual_padding(each) for each in asked} | dict(padding or {})
    for resource, instead in others.items():
        padding |= {each: _padding_in_place_of(resource, each, padding) for each in instead}
    period = starts_at.astimezone(UTC), ends_at.astimezone(UTC)
    window = _window(period)
    around = widened(window, padding.values())
    free = free_times(padding, *around, at_all_hours=at_all_hours, ignoring=ignoring)
    return [
        *_swaps(others, asked, free, period, padding),
        *_other_times(asked, free, period, window, padding),
    ]


def with_alternative(sent: QueryDict) -> QueryDict:
    """What was typed, with the change of the alternative whose button was pressed."""
    changed = sent.copy()
    for name, values in parse_qs(sent.get("take", ""), keep_blank_values=True).items():
        if name in TAKEN and name.startswith("+"):
            had = changed.getlist(name[1:])
            changed.setlist(name[1:], [*had, *(each for each in values if each not in had)])
        elif name in TAKEN or (name, values) == ("status", [Status.HELD]):
            changed.setlist(name, values)
    return changed


def _in_the_way(refusal: ClashError | OutsideHoursError) -> list[Model]:
    """The resources that are taken, closed or off work, each once."""
    found = refusal.clashes if isinstance(refusal, ClashError) else refusal.outside
    return list(dict.fromkeys(each.resource for each in found))


def _padding_in_place_of(
    resource: Model, other: Model, padding: Mapping[Model, Padding]
) -> Padding:
    """Another room needs the same load-in; another unit warms up in its own time."""
    return usual_padding(other) if isinstance(other, Unit) else padding[resource]


def _window(period: Period) -> Period:
    """Where to look for another time; what is still to come is not moved into the past."""
    now = timezone.now()
    first = period[0] - REACH
    return (max(first, now) if now < period[0] else first), period[1] + REACH


def _others(in_the_way: list[Model], asked: list[Model]) -> dict[Model, list[Model]]:
    """What could stand in for each: any other room, a unit of the same model, somebody of the same
    or a similar role, the likest first. (Another model has its cautions, which `stand_ins` shows.)"""
    kinds = by_kind(in_the_way)
    units = Unit.objects.in_service().filter(model__in={unit.model_id for unit in kinds["unit"]})
    pool = {
        "room": Room.objects.current() if kinds["room"] else (),
        "person": Person.objects.bookable() if kinds["person"] else (),
        "unit": units.select_related("model").order_by("asset_tag") if kinds["unit"] else (),
    }
    pool = {kind: [each for each in found if each not in asked] for kind, found in pool.items()}
    roles = Roles.of([*kinds["person"], *pool["person"]])
    others = {}
    for resource in in_the_way:
        like = [(likeness(resource, each, roles), each) for each in pool[KINDS[type(resource)]]]
        like = sorted(filter(itemgetter(0), like), key=lambda each: each[0].order)
        others[resource] = [
            each for alike, each in like if alike.fits or not isinstance(resource, Unit)
        ]
    return others


def _swaps(others, asked, free, period: Period, padding) -> list[Alternative]:
    alternatives = []
    for resource, instead in others.items():
        fitting = [each for each in instead if _is_free(free[each], padding[each].around(*period))]
        alternatives += [
            Alternative(
                f"{each} is free then: use it instead of {resource}.",
                _swapped(asked, resource, each),
            )
            for each in fitting[:OTHERS]
        ]
    return alternatives


def _is_free(free: Iterable[Period], period: Period) -> bool:
    return any(start <= period[0] and period[1] <= end for start, end in free)


def _swapped(asked: list[Model], resource: Model, other: Model) -> str:
    """The field of the form, with the other one in the place of the resource."""
    kind = KINDS[type(resource)]
    keys = [(other if each == resource else each).pk for each in by_kind(asked)[kind]]
    return urlencode({FIELDS[kind]: keys}, doseq=True)


def _other_times(asked, free, period: Period, window: Period, padding) -> list[Alternative]:
    """The last time before and the first time after at which all of it is free for as long."""
    length = period[1] - period[0]
    wanted = [[each] for each in asked]
    look = {"length": length, "padding": padding}
    before = latest(wanted, free, within=(window[0], period[1]), **look)
    after = earliest(wanted, free, within=(period[0], window[1]), count=1, **look)
    found = [("earlier", before), *(("later", each) for each in after)]
    return [
        Alternative(
            f"Everything is free {when}: {period_in_words(each.starts_at, each.ends_at)}.",
            urlencode({"starts_at": typed(each.starts_at), "ends_at": typed(each.ends_at)}),
        )
        for when, each in found
        if each
    ]
