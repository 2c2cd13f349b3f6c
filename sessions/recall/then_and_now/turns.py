"""What was turned from one measurement of a rebuilt chain to the next, by the history of its ticks."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from gear.audio.values import setting_text
from gear.panels.models import Control
from sessions.recall.models import Rebuild, Tick
from sessions.recall.rebuilds.lines import ChainChecklist, ControlLine, StageLine


@dataclass(frozen=True)
class Turned:
    """A control that stood at `was` and then at `to`; None where nobody had said how it is set."""

    stage: StageLine
    line: ControlLine
    was: float | None
    to: float | None

    @property
    def words(self) -> str:
        """Gain of P-01 from 35 dB to 36.5 dB"""
        stood = f" from {_text(self.line.control, self.was)}" if self.was is not None else ""
        goes = "no longer ticked" if self.to is None else f"to {_text(self.line.control, self.to)}"
        return f"{self.line.control.label} of {self.stage.unit_in_words}{stood} {goes}"

    @property
    def back(self) -> str:
        """What undoing it asks for."""
        place = f"{self.line.control.label} of {self.stage.unit_in_words}"
        was = self.line.wanted if self.was is None else self.was
        return place if was is None else f"{place} back to {_text(self.line.control, was)}"


@dataclass(frozen=True)
class Ticked:
    """A control's tick as it was saved at a moment."""

    step: int
    key: str
    value: float | None
    at: datetime


def ticks_of(rebuild: Rebuild, number: int) -> list[Ticked]:
    """All that was ever ticked of a chain of the rebuild, the oldest first. One query."""
    rows = Tick.history.filter(step__rebuild=rebuild, step__chain_number=number)
    found = rows.order_by("history_id").values_list(
        "step_id", "key", "value", "history_date", "history_type"
    )
    return [
        Ticked(step, key, None if kind == "-" else value, at)
        for step, key, value, at, kind in found
    ]


def turned_between(
    chain: ChainChecklist, ticks: Iterable[Ticked], since: datetime, until: datetime | None = None
) -> list[Turned]:
    """In signal order; of what is set for the first time only what was turned off the place that it is
    wanted at. Meters are no controls."""
    before, after = values_at(ticks, since), values_at(ticks, until)
    return [
        Turned(stage, line, was, to)
        for stage in chain.in_use
        for line in stage.controls
        if not line.control.is_meter
        and (was := before.get(place := (stage.step.pk, line.control.key)))
        != (to := after.get(place))
        and not (was is None and to == line.wanted)
    ]


def values_at(
    ticks: Iterable[Ticked], until: datetime | None
) -> dict[tuple[int, str], float | None]:
    """By step and key, as they were ticked at that moment, or now."""
    return {
        (tick.step, tick.key): tick.value for tick in ticks if until is None or tick.at <= until
    }


def _text(control: Control, value: float) -> str:
    return setting_text(value, control.dial(), control.unit)
