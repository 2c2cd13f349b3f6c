"""Keep time from being booked, give it back, and say when the house is open."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from django.db.models import Model

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from gear.equipment.models import Unit, UnitState
from sessions.bookings.actions import check_period, reservation_of, reserve
from sessions.bookings.clashes import BookingRefused, ClashError, find_clashes
from sessions.bookings.holds.line import move_up
from sessions.bookings.models import Block
from sessions.bookings.padding import Padding
from sessions.bookings.races import locked
from sessions.bookings.stand_ins.actions import use_stand_ins
from sessions.bookings.stand_ins.giving_up import Stretch, give_back, give_up
from sessions.bookings.telling import tell, telling_once
from sessions.clients.models import Person
from sessions.periods import Period
from sessions.rooms.models import Room
from sessions.rooms.resources import by_field

LIMIT = timedelta(days=366), "A block is at most 366 days long. Retire what is gone for good."


@action
@telling_once
def make_block(
    *,
    starts_at: datetime,
    ends_at: datetime,
    rooms: Iterable[Room] = (),
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    over_bookings: bool = False,
    stand_ins: Mapping[int, Model | None] | None = None,
    by,
    **facts,
) -> Block:
    """Keep rooms, people and units from being booked within the half-open period.

    Sessions to come give them up where it goes `over_bookings`: they list them as missing, or have
    what `stand_ins` says, by the key of the reservation, in their place. Raises ClashError where a
    session (one that is over, if it goes over bookings) or another block has the time,
    BookingRefused for a period that cannot be, for what is retired, and as `use_stand_ins`.
    """
    check_period(starts_at, ends_at, *LIMIT)
    wanted = [*rooms, *people, *units]
    given_up = give_up(wanted, (starts_at, ends_at), by=by) if over_bookings else []
    resources = locked(wanted)
    _check_resources(resources)
    _refuse_clashes(resources, (starts_at, ends_at))
    block = Block.objects.create(starts_at=starts_at, ends_at=ends_at, **facts)
    for resource in resources:
        reserve(reservation_of(resource, block=block), Padding(), (starts_at, ends_at), 1)
    use_stand_ins(stand_ins or {}, by=by)
    _let_others_in(given_up, by)
    return block


@action
@telling_once
def change_block(
    block: Block,
    *,
    version: int,
    starts_at: datetime,
    ends_at: datetime,
    rooms: Iterable[Room] = (),
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    over_bookings: bool = False,
    stand_ins: Mapping[int, Model | None] | None = None,
    by,
    **facts,
) -> Block:
    """Change what is blocked and when. What it gives up, sessions that missed it have again, and
    holds behind it move up.

    `over_bookings` and `stand_ins` as in `make_block`. Raises EditedMeanwhile when somebody saved the block after `version`, and as `make_block`.
    """
    check_period(starts_at, ends_at, *LIMIT)
    claim_version(block, version)
    block.refresh_from_db()
    if block.removed:
        raise BookingRefused("This block has been removed. Create a new one.")
    before = {each.resource: each for each in block.reservations.for_list()}
    wanted = {*rooms, *people, *units}
    given_up = give_up(wanted, (starts_at, ends_at), by=by) if over_bookings else []
    resources = [each for each in locked(wanted | before.keys()) if each in wanted]
    _check_resources(resources, known=before)
    _refuse_clashes(resources, (starts_at, ends_at), block)
    set_facts(block, starts_at=starts_at, ends_at=ends_at, **facts)
    given_up += [(each.resource, each.starts_at, each.ends_at) for each in before.values()]
    block.save()
    for resource in before.keys() - wanted:
        before[resource].delete()
    for resource in resources:
        reservation = before.get(resource) or reservation_of(resource, block=block)
        reserve(reservation, Padding(), (starts_at, ends_at), 1)
    use_stand_ins(stand_ins or {}, by=by)
    _let_others_in(given_up, by)
    return block


@action
def remove_block(block: Block, *, by) -> Block:
    """Give the time back: sessions that missed it have it again, holds behind it move up. A block
    that is removed already stays so."""
    block.refresh_from_db(from_queryset=Block.objects.select_for_update(no_key=True))
    if block.removed:
        return block
    before = list(block.reservations.for_list())
    locked([reservation.resource for reservation in before])
    block.removed = True
    block.version += 1
    block.save()
    for reservation in before:
        reservation.rank = None
        reservation.save()
    _let_others_in([(each.resource, each.starts_at, each.ends_at) for each in before], by)
    return block


def _check_resources(resources: list[Model], known: Iterable[Model] = ()) -> None:
    """Something must be blocked; what is retired is not booked anyway. A unit may be on the bench."""
    if not resources:
        raise BookingRefused(
            {"rooms": "Nothing is blocked yet: choose a room, a person or a unit."}
        )
    retired = [each for each in resources if each not in known and _is_retired(each)]
    said = [(each, f"{each} is retired and cannot be booked anyway.") for each in retired]
    if said:
        raise BookingRefused(by_field(said))


def _is_retired(resource: Model) -> bool:
    if isinstance(resource, Unit):
        return resource.state == UnitState.RETIRED
    return resource.retired


def _refuse_clashes(resources: list[Model], period: Period, own: Block | None = None) -> None:
    if clashes := find_clashes(dict.fromkeys(resources, period), ignoring=own):
        raise ClashError(clashes)


def _let_others_in(given_up: list[Stretch], by) -> None:
    """Let sessions have again what they miss, and the holds behind move up, and tell them so."""
    again = [each for old in given_up for each in give_back(*old)]
    moved = [each.session for old in given_up for each in move_up(*old)]
    tell(*again, *moved, by=by)
