"""What stood at a stage when its revision was fixed, so that it prints the same in ten years.

A jack is relabelled, a unit gets a new tag, a model's facts are put right: the old sheet says what
stood there, and reckons with it. What can hurt someone goes by today's facts: `Stage.model_today`.
"""

from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass
from decimal import Decimal

from django.db.models.query import ModelIterable

from gear.audio.values import format_value
from gear.equipment.models import GearModel, SignalLevel, Unit

#: Of a model: what level plans, warnings and sheets read.
MODEL_FACTS = (
    "category",
    "transducer",
    "phantom",
    "own_supply",
    "warm_up_minutes",
    "sensitivity_mv_pa",
    "self_noise_dba",
    "equivalent_input_noise_dbu",
    "max_spl_db",
    "output_impedance_ohm",
    "input_level",
    "output_level",
    "max_input_dbu",
    "max_output_dbu",
    "nominal_level_dbu",
)
_NONE = "none"


@dataclass(frozen=True)
class ChangedSince:
    """One fact, in words, as it was when the revision was fixed and as it is on record today."""

    label: str
    then: str
    today: str


def facts_of(stage) -> dict:
    """What a sheet of this stage is about to print, as plain values. The stage is loaded `for_list`."""
    return {
        "unit": _unit_facts(stage.unit),
        "supply": _unit_facts(stage.unit.supply) if stage.unit.supply else None,
        "patch_in": _point_facts(stage.patch_in) if stage.patch_in else None,
        "patch_out": _point_facts(stage.patch_out) if stage.patch_out else None,
    }


def show_kept(stage) -> None:
    """Let the loaded stage, in memory only, go by the facts that were kept for it."""
    kept = stage.kept
    if not kept:
        return
    stage.today = facts_of(stage)
    stage.model_today = copy(stage.unit.model)
    _show_unit(stage.unit, kept["unit"])
    stage.unit.supply = _supply_as_kept(stage.unit.supply, kept["supply"])
    for point, facts in ((stage.patch_in, kept["patch_in"]), (stage.patch_out, kept["patch_out"])):
        if point:
            facts = dict(facts)
            point.bay.name = facts.pop("bay")
            for name, value in facts.items():
                setattr(point, name, value)


def changed_since(stage) -> list[ChangedSince]:
    """What today's record says otherwise than the facts that were kept. No query."""
    if not stage.kept:
        return []
    today = dict(_in_words(stage.today))
    return [
        ChangedSince(label, words, today[label])
        for label, words in _in_words(stage.kept)
        if today.get(label, words) != words
    ]


class AsKept(ModelIterable):
    """Yields stages that go by their kept facts."""

    def __iter__(self):
        for stage in super().__iter__():
            show_kept(stage)
            yield stage


def _unit_facts(unit: Unit) -> dict:
    return {
        "id": unit.pk,
        "maker": unit.model.maker,
        "model": unit.model.name,
        "asset_tag": unit.asset_tag,
        "serial_number": unit.serial_number,
        "facts": {name: _plain(getattr(unit.model, name)) for name in MODEL_FACTS},
    }


def _point_facts(point) -> dict:
    return {
        "bay": point.bay.name,
        "row": point.row,
        "column": point.column,
        "label": point.label,
        "level": point.level,
        "side": point.side,
    }


def _plain(value):
    return float(value) if isinstance(value, Decimal) else value


def _show_unit(unit: Unit, kept: dict) -> None:
    unit.model.maker, unit.model.name = kept["maker"], kept["model"]
    unit.asset_tag, unit.serial_number = kept["asset_tag"], kept["serial_number"]
    for name, value in kept.get("facts", {}).items():
        setattr(unit.model, name, GearModel._meta.get_field(name).to_python(value))


def _supply_as_kept(supply: Unit | None, kept: dict | None) -> Unit | None:
    if kept is None:
        return None
    if supply is None or supply.pk != kept["id"]:
        supply = Unit(pk=kept["id"], model=GearModel(category="supply"))
    _show_unit(supply, kept)
    return supply


def _in_words(facts: dict) -> Iterator[tuple[str, str]]:
    """Only what the facts tell: those of revisions that were fixed long ago are names alone."""
    unit, supply = facts["unit"], facts["supply"]
    yield "unit", _unit_in_words(unit)
    yield "serial number", unit["serial_number"] or _NONE
    yield "its supply", _unit_in_words(supply) if supply else _NONE
    for label, point in (
        ("patched in at", facts["patch_in"]),
        ("patched out at", facts["patch_out"]),
    ):
        if point:
            yield label, "{bay} {row}{column} {label}".format(**point)
        if point and "level" in point:
            yield f"{label}, level", f"{SignalLevel(point['level']).label.lower()}, {point['side']}"
    for name, value in unit.get("facts", {}).items():
        yield _fact_in_words(name, value)


def _unit_in_words(unit: dict) -> str:
    return "{maker} {model} ({asset_tag})".format(**unit)


def _fact_in_words(name: str, value) -> tuple[str, str]:
    field = GearModel._meta.get_field(name)
    label, _, unit = field.verbose_name.partition(", ")
    if isinstance(value, bool):
        words = "yes" if value else "no"
    elif value in (None, ""):
        words = "not on record"
    else:
        words = dict(field.flatchoices).get(value) or format_value(
            value, unit, signed=unit == "dBu"
        )
    return label, words
