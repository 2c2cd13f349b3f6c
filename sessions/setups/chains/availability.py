"""Which units may be picked for the chains of a session: those that it has reserved, or that are
free at its time. What stands on the bench or is retired is never picked."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.equipment.models import Unit
from gear.patchbay.lines import tag_and_channel
from sessions.bookings.clashes import find_clashes
from sessions.bookings.models import RecordingSession
from sessions.setups.models import Revision


@dataclass(frozen=True)
class UnitChoice:
    """A unit, and why it may or may not be picked."""

    unit: Unit
    note: str
    is_reserved: bool = False


@dataclass(frozen=True)
class UnitChoices:
    """`taken` and `out_of_service` are not offered."""

    offered: list[UnitChoice]
    taken: list[UnitChoice]
    out_of_service: list[UnitChoice]


def unit_choices(revision: Revision) -> UnitChoices:
    """For one more stage of a revision loaded `with_stages`; a constant number of queries."""
    standing = {stage.unit_id: stage.position for stage in revision.stages.all()}
    return choices_for(revision.chain.setup.session, standing)


def choices_for(session: RecordingSession, standing: dict[int, int]) -> UnitChoices:
    """`standing` are the stages, by unit, of the chain that is asked for."""
    units = list(Unit.objects.for_list())
    reserved, taken = _reserved(session), _taken_by_others(session, units)
    offered, others, broken = [], [], []
    for unit in units:
        if not unit.is_in_service:
            note = f"{unit.asset_tag} is {unit.standing}"
            broken.append(UnitChoice(unit, note))
        elif unit.pk in taken:
            others.append(UnitChoice(unit, taken[unit.pk]))
        else:
            offered.append(_offered(unit, unit.pk in reserved, standing.get(unit.pk)))
    offered.sort(key=lambda choice: not choice.is_reserved)
    return UnitChoices(offered, others, broken)


@dataclass(frozen=True)
class NotReady:
    """A unit that a session can't count on, and why."""

    unit: Unit
    reason: str
    is_free: bool = False


def not_ready(session: RecordingSession, units: Iterable[Unit]) -> list[NotReady]:
    """Of the units those that are out of service, taken by others at its time, or just not reserved
    for it."""
    units = list(dict.fromkeys(units))
    reserved, taken = _reserved(session), _taken_by_others(session, units)
    found = []
    for unit in units:
        if not unit.is_in_service:
            found.append(NotReady(unit, f"{unit} is {unit.standing}."))
        elif unit.pk in taken:
            found.append(NotReady(unit, taken[unit.pk]))
        elif unit.pk not in reserved:
            found.append(NotReady(unit, f"{unit} is not reserved for this session.", is_free=True))
    return found


def _taken_by_others(session: RecordingSession, units: Iterable[Unit]) -> dict[int, str]:
    """Of the units those that others own at the session's time, by key: who, and when."""
    clashes = find_clashes(
        dict.fromkeys(units, (session.starts_at, session.ends_at)), ignoring=session
    )
    return {clash.resource.pk: f"{clash}" for clash in clashes}


def pick(choices: UnitChoices, typed: str) -> Unit:
    """The unit that is called so: by its tag, its whole name, or words that only its name has.

    Raises ValueError with a sentence that says why not.
    """
    words = typed.casefold().split()
    for choice in choices.offered:
        if _is_called(choice.unit, typed):
            return choice.unit
    for choice in [*choices.taken, *choices.out_of_service]:
        if _is_called(choice.unit, typed):
            raise ValueError(f"{choice.note.rstrip('.')}. Choose another.")
    found = [
        choice.unit
        for choice in choices.offered
        if words and all(word in f"{choice.unit}".casefold() for word in words)
    ]
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(map(str, found[:6]))
        raise ValueError(f"“{typed}” may be {names}. Choose one by its tag.")
    raise ValueError(f"No unit that is free is called “{typed}”. Choose one from the list.")


def pick_channel(choices: UnitChoices, typed: str) -> tuple[Unit, int | None]:
    """The same, where a channel may stand behind the tag: P-01/3."""
    try:
        return pick(choices, typed), None
    except ValueError:
        tag, channel = tag_and_channel(typed.strip())
        if channel is None:
            raise
        unit = pick(choices, tag)
    if not 1 <= channel <= unit.model.channels:
        raise ValueError(f"{unit} has {unit.model.channels} channels.")
    return unit, channel


def _is_called(unit: Unit, typed: str) -> bool:
    return typed.strip().casefold() in (unit.asset_tag.casefold(), f"{unit}".casefold())


def _reserved(session: RecordingSession) -> set[int]:
    standing = session.reservations.standing().filter(unit__isnull=False)
    return set(standing.values_list("unit_id", flat=True))


def _offered(unit: Unit, is_reserved: bool, stage: int | None) -> UnitChoice:
    note = "reserved for this session" if is_reserved else "free, not reserved"
    if stage:
        note += f"; unit {stage} of this chain"
    return UnitChoice(unit, note, is_reserved)
