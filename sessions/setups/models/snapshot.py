"""The facts of a stage that a sheet prints and reckons with, as plain values.

A jack is relabelled, a unit gets a new tag, a model's facts are put right: what is stored with a
fixed revision says what stood there then. What can hurt someone is asked of today's record, which
is `stage.unit`.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, fields
from decimal import Decimal
from typing import Self

from gear.audio.values import format_value
from gear.equipment.models import GearModel, SignalLevel, Unit
from gear.patchbay.models import PatchPoint
from gear.patchbay.wiring import Jack


@dataclass(frozen=True)
class ModelFacts:
    """Of a model: what level plans, warnings and sheets read, under the names of its fields."""

    maker: str
    name: str
    category: str
    transducer: str
    phantom: str
    own_supply: bool
    warm_up_minutes: int
    sensitivity_mv_pa: float | None
    self_noise_dba: float | None
    equivalent_input_noise_dbu: float | None
    max_spl_db: float | None
    output_impedance_ohm: int | None
    input_level: str
    output_level: str
    max_input_dbu: float | None
    max_output_dbu: float | None
    nominal_level_dbu: float | None

    @classmethod
    def of(cls, model: GearModel) -> Self:
        return cls(*(_plain(getattr(model, field.name)) for field in fields(cls)))

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"


@dataclass(frozen=True)
class UnitFacts:
    pk: int
    asset_tag: str
    serial_number: str
    model: ModelFacts
    supply: "UnitFacts | None" = None
    channel: int | None = None

    @classmethod
    def of(cls, unit: Unit, channel: int | None = None) -> Self:
        """Costs a query for each of model and supply that is not loaded."""
        supply = unit.supply
        return cls(
            unit.pk,
            unit.asset_tag,
            unit.serial_number,
            ModelFacts.of(unit.model),
            supply
            and cls(supply.pk, supply.asset_tag, supply.serial_number, ModelFacts.of(supply.model)),
            channel,
        )

    @classmethod
    def from_json(cls, data: dict) -> Self:
        supply = data["supply"] and cls.from_json(data["supply"])
        return cls(**data | {"model": ModelFacts(**data["model"]), "supply": supply})

    def __str__(self) -> str:
        return f"{self.model} ({self.tag})"

    @property
    def tag(self) -> str:
        """The asset tag, and which channel: P-01/3."""
        return f"{self.asset_tag}/{self.channel}" if self.channel else self.asset_tag


@dataclass(frozen=True)
class StageFacts:
    """A stage's unit and jacks, as they stand today or as they stood when its revision was fixed."""

    unit: UnitFacts
    patch_in: Jack | None
    patch_out: Jack | None

    @classmethod
    def of(cls, stage) -> Self:
        """By today's record. No query if the stage is loaded `for_list`."""
        return cls(
            UnitFacts.of(stage.unit, stage.channel), _jack(stage.patch_in), _jack(stage.patch_out)
        )

    @classmethod
    def from_json(cls, data: dict) -> Self:
        jacks = (data[name] and Jack(**data[name]) for name in ("patch_in", "patch_out"))
        return cls(UnitFacts.from_json(data["unit"]), *jacks)

    def to_json(self) -> dict:
        return asdict(self)


@dataclass(frozen=True)
class ChangedSince:
    """One fact, in words, as it was when the revision was fixed and as it is today."""

    label: str
    then: str
    today: str


def changes_between(then: StageFacts, today: StageFacts) -> list[ChangedSince]:
    words_today = dict(_in_words(today))
    return [
        ChangedSince(label, words, words_today[label])
        for label, words in _in_words(then)
        if words_today.get(label, words) != words
    ]


def _plain(value):
    return float(value) if isinstance(value, Decimal) else value


def _jack(point: PatchPoint | None) -> Jack | None:
    if point is None:
        return None
    return Jack(
        point.pk, point.bay.name, point.row, point.column, point.label, point.level, point.side
    )


def _in_words(facts: StageFacts) -> Iterator[tuple[str, str]]:
    unit = facts.unit
    yield "unit", f"{unit}"
    yield "serial number", unit.serial_number or "none"
    yield "its supply", f"{unit.supply or 'none'}"
    for label, jack in (("patched in at", facts.patch_in), ("patched out at", facts.patch_out)):
        if jack:
            yield label, f"{jack}"
            yield f"{label}, level", f"{SignalLevel(jack.level).label.lower()}, {jack.side}"
    for name, value in asdict(unit.model).items():
        if name not in ("maker", "name"):
            yield _fact_in_words(name, value)


def _fact_in_words(name: str, value) -> tuple[str, str]:
    field = GearModel._meta.get_field(name)
    label, _, unit = field.verbose_name.partition(", ")
    if isinstance(value, bool):
        words = "yes" if value else "no"
    elif value in (None, ""):
        words = "not given"
    else:
        words = dict(field.flatchoices).get(value) or format_value(
            value, unit, signed=unit == "dBu"
        )
    return label, words
