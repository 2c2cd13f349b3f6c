"""What became of a unit: who changed what and when, and when it was out of service."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from django.utils.text import capfirst

from gear.equipment.models import GearModel, Unit, UnitState

DONE = {"+": "created", "~": "", "-": "deleted"}
FACTS = (
    "asset_tag",
    "model_id",
    "serial_number",
    "state",
    "home_room",
    "rack",
    "slot",
    "supply_id",
)


@dataclass(frozen=True)
class Edit:
    when: datetime
    who: str
    what: str


@dataclass(frozen=True)
class Away:
    """A time on the bench, or retired; `until` is None while it lasts."""

    state: str
    since: datetime
    until: datetime | None
    who: str


@dataclass(frozen=True)
class Record:
    """Both with the newest first."""

    edits: tuple[Edit, ...]
    away: tuple[Away, ...]


def record_of(unit: Unit) -> Record:
    """Three queries at most, however long its history."""
    entries = list(
        unit.history.select_related("history_user").order_by("history_date", "history_id")
    )
    names = _names(entries)
    befores = [None, *entries[:-1]]
    edits = [
        Edit(entry.history_date, who_of(entry), what)
        for before, entry in zip(befores, entries, strict=True)
        if (what := _what(before, entry, names))
    ]
    return Record(tuple(reversed(edits)), tuple(reversed(_away(entries))))


def _names(entries: Iterable) -> dict[str, dict[int, str]]:
    models = GearModel.objects.in_bulk({entry.model_id for entry in entries})
    supplies = {entry.supply_id for entry in entries if entry.supply_id}
    tags = Unit.objects.filter(pk__in=supplies).values_list("pk", "asset_tag")
    return {
        "model_id": {key: str(model) for key, model in models.items()},
        "supply_id": dict(tags),
    }


def who_of(entry) -> str:
    return str(entry.history_user or "The system")


def _what(before, entry, names) -> str:
    """In words; empty where an entry changed nothing."""
    said = [entry.history_change_reason or DONE[entry.history_type]]
    if before is not None:
        said += [
            _change(name, before, entry, names)
            for name in FACTS
            if getattr(before, name) != getattr(entry, name)
        ]
        if before.note != entry.note:
            said.append("Note changed")
        if said[1:] == [] and not entry.history_change_reason:
            return ""
    return "; ".join(filter(None, said))


def _change(name: str, before, entry, names) -> str:
    label = Unit._meta.get_field(name.removesuffix("_id")).verbose_name
    old, new = (_value(each, name, names) for each in (before, entry))
    return f"{capfirst(label)}: {old or 'empty'} → {new or 'empty'}"


def _value(entry, name: str, names) -> str:
    if name == "state":
        return UnitState(entry.state).label
    value = getattr(entry, name)
    return names[name].get(value, "") if name in names else value


def _away(entries: list) -> list[Away]:
    """The stretches of entries out of service, each until the first entry in another state."""
    turns = [
        entry
        for before, entry in pairwise([None, *entries])
        if before is None or before.state != entry.state
    ]
    return [
        Away(
            UnitState(turn.state).label,
            turn.history_date,
            after and after.history_date,
            who_of(turn),
        )
        for turn, after in pairwise([*turns, None])
        if turn.state != UnitState.IN_SERVICE
    ]
