"""What could stand in for a room, person or unit that a session cannot have.

A unit of the same model before one of the same kind, somebody of the same role before somebody of
a similar one; free for the whole of the time, warm-up and load-in included, and open or at work
then (a lockout asks nobody's hours).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Model
from django.utils import timezone

from gear.equipment.cautions import Caution, cautions_for
from gear.equipment.models import GearModel, Phantom, Unit
from sessions.bookings.free.search import free_times, widened
from sessions.bookings.models import Reservation
from sessions.bookings.padding import Padding, usual_padding
from sessions.bookings.stand_ins.likeness import Likeness, Roles, likeness
from sessions.clients.models import Person
from sessions.periods import Period, moment_in_words
from sessions.rooms.models import Room
from sessions.rooms.resources import KINDS, by_kind

MOST = 6  # that are offered for one

Free = Mapping[Model, Sequence[Period]]


@dataclass(frozen=True)
class Candidate:
    """What could stand in. What `fits` is the like of what it stands in for; `notes` and `cautions`
    say what is otherwise with it."""

    resource: Model
    how: str
    fits: bool
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]


def stand_ins_for(
    needs: Sequence[Reservation], *, but_for: Iterable[Model] = ()
) -> dict[int, list[Candidate]]:
    """By the key of each reservation (loaded by `for_list` and `with_holders`), what could stand in
    for it, the likest first; nothing of `but_for`. In a constant number of queries."""
    if not needs:
        return {}
    pool = _pool([each.resource for each in needs], set(but_for))
    roles = Roles.of([*pool["person"], *(each.person for each in needs if each.person)])
    own, free = _reserved_with(needs), _free(needs, pool)
    found = {}
    for need in needs:
        like = [
            (alike, each)
            for each in pool[KINDS[type(need.resource)]]
            if (alike := likeness(need.resource, each, roles))
            and not _has(own[need.session_id], each)
            and _can_come(need, each, own[need.session_id], free)
        ]
        like.sort(key=lambda each: each[0].order)
        found[need.pk] = [_candidate(need, each, alike) for alike, each in like[:MOST]]
    return found


def first_choices(
    needs: Sequence[Reservation], found: Mapping[int, list[Candidate]]
) -> dict[int, Model]:
    """By the key of each reservation the first that fits, and nothing twice at one time."""
    chosen: dict[int, Model] = {}
    taken: list[tuple[Model, Reservation]] = []
    for need in needs:
        for each in found.get(need.pk, ()):
            twice = any(other == each.resource and of.overlaps(need) for other, of in taken)
            if each.fits and not twice:
                chosen[need.pk] = each.resource
                taken.append((each.resource, need))
                break
    return chosen


def padding_of(old: Reservation, new: Model) -> Padding:
    """Minutes before and after for what stands in: another unit warms up in its own time, unless
    more was agreed for the first."""
    if not isinstance(new, Unit):
        return old.padding
    usual = usual_padding(new).before
    agreed = 0 if old.padding == usual_padding(old.resource) else old.before_minutes
    return Padding(max(usual, agreed), old.after_minutes)


def supplies_with(resource: Model, *, others: Iterable[Model]) -> list[Unit]:
    """The supply that comes and goes with a unit, unless it serves another of the units."""
    supply = resource.supply if isinstance(resource, Unit) else None
    serves = {each.supply for each in others if isinstance(each, Unit) and each != resource}
    return [supply] if supply and supply not in serves else []


def _pool(old: list[Model], but_for: set[Model]) -> dict[str, list[Model]]:
    """All that is in use and of the kinds of what is missing. A query for each kind of resource."""
    kinds = by_kind(old)
    units = Unit.objects.in_service().filter(
        model__category__in={each.model.category for each in kinds["unit"]}
    )
    pool = {
        "room": Room.objects.current() if kinds["room"] else (),
        "person": Person.objects.bookable() if kinds["person"] else (),
        "unit": units.select_related("model", "supply__model").order_by("asset_tag")
        if kinds["unit"]
        else (),
    }
    but_for |= set(old)
    return {kind: [each for each in found if each not in but_for] for kind, found in pool.items()}


def _reserved_with(needs: Sequence[Reservation]) -> dict[int, set[tuple[str, int]]]:
    """By session, what it takes already. One query."""
    rows = Reservation.objects.filter(session__in={each.session_id for each in needs})
    found = defaultdict(set)
    for session, *keys in rows.values_list("session", *KINDS.values()):
        found[session] |= set(zip(KINDS.values(), keys, strict=True))
    return found


def _has(own: set[tuple[str, int]], resource: Model) -> bool:
    return (KINDS[type(resource)], resource.pk) in own


def _free(needs: Sequence[Reservation], pool: dict[str, list[Model]]) -> dict[bool, Free]:
    """When all of the pool is free, supplies too: by whether a session is a lockout."""
    supplies = {unit.supply for unit in pool["unit"] if unit.supply}
    resources = {*pool["room"], *pool["person"], *pool["unit"], *supplies}
    paddings = {padding_of(need, each) for need in needs for each in resources}
    starts = min(each.session.starts_at for each in needs)
    ends = max(each.session.ends_at for each in needs)
    window = widened((starts, ends), paddings)
    return {
        lockout: free_times(resources, *window, at_all_hours=lockout)
        for lockout in {each.session.lockout for each in needs}
    }


def _can_come(need: Reservation, new: Model, own: set, free: dict[bool, Free]) -> bool:
    """Free throughout, and so is the supply that it cannot do without."""
    supply = new.supply if isinstance(new, Unit) else None
    if supply and not supply.is_in_service:
        return False
    return all(
        _is_free(free[need.session.lockout][each], _period(need, each))
        for each in filter(None, (new, supply))
        if not _has(own, each)
    )


def _period(need: Reservation, new: Model) -> Period:
    return padding_of(need, new).around(need.session.starts_at, need.session.ends_at)


def _is_free(free: Iterable[Period], period: Period) -> bool:
    return any(start <= period[0] and period[1] <= end for start, end in free)


def _candidate(need: Reservation, new: Model, alike: Likeness) -> Candidate:
    if not isinstance(new, Unit):
        return Candidate(new, alike.how, alike.fits, (), ())
    notes, cautions = new.notices(), []
    if new.supply:
        notes.append(f"Its supply {new.supply} comes with it.")
    if new.model.warm_up_minutes:
        notes.append(_warm_up(need, new))
    if new.model_id != need.unit.model_id:
        known = cautions_for(need.unit.model)
        cautions = [each for each in cautions_for(new.model) if each not in known]
        notes += _otherwise(need.unit.model, new.model)
    return Candidate(new, alike.how, alike.fits, tuple(notes), tuple(cautions))


def _warm_up(need: Reservation, new: Unit) -> str:
    """When it is switched on; of what cannot be warm in time, when it is."""
    switched_on = _period(need, new)[0]
    late = timezone.now() - switched_on
    if late <= timedelta():
        return f"To be switched on {moment_in_words(switched_on)}."
    warm = need.session.starts_at + late
    return (
        f"It warms up for {new.model.warm_up_minutes} min: switched on now, it is ready "
        f"{moment_in_words(warm)}."
    )


def _otherwise(old: GearModel, new: GearModel) -> list[str]:
    """In what another model differs that decides what it is plugged into."""
    said = []
    if old.transducer != new.transducer and new.transducer:
        said.append(f"{new.get_transducer_display()}, not {old.get_transducer_display().lower()}.")
    if old.phantom_need != new.phantom_need and new.phantom_need:
        said.append(f"{Phantom(new.phantom_need).label}.")
    return said
