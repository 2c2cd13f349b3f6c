"""The model of a chain from its logged controls, by which a difference of sound is explained.

What is not logged, or has no figures, is left out: it does what it did, and nobody proposes to turn it.
Phantom power, polarity and what is heard only in time are no part of it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from gear.audio.dial import DETENTED
from gear.audio.proving.explaining.model import Dynamics, Filter, Gain, Knob, Model, Part
from gear.panels.models import Control, Meaning
from sessions.setups.controls.compressor import SOFT_KNEE_DB
from sessions.setups.controls.equaliser import (
    band_knob,
    band_q,
    band_shape,
    cut_shape,
    hertz_at,
    order_of,
    written_hertz,
)
from sessions.setups.controls.stage_controls import StageControls, is_in_at, word_at
from sessions.setups.models import Stage

#: Where a cut stands that is out, in Hz.
_OUT = {"low cut": 0.01, "high cut": 1e6}
_LIMITER = 1000.0  # :1, where ∞ is engraved
_MILLISECONDS = {"ms": 1.0, "s": 1000.0, "µs": 0.001}


@dataclass(frozen=True)
class UnitSet:
    """A unit in the chain: how its controls were set then and, by the record, are set now (those that
    are not named stand as then), all on the scales of the panel that is in use now."""

    position: int
    controls: Sequence[Control]
    then: Mapping[str, float]
    now: Mapping[str, float] = field(default_factory=dict)

    @classmethod
    def at(cls, stage: Stage) -> "UnitSet":
        """As it was logged. Of a stage loaded `for_list` it costs no query."""
        return cls(stage.position, stage.controls(), stage.settings)


def model_of(units: Sequence[UnitSet]) -> Model:
    """Of the units that are measured through, in signal order."""
    return Model(tuple(part for unit in units for part in _Reader(unit).parts()))


def place_of(key: str) -> tuple[int, str]:
    """The unit's position and the control's key, of a knob's key."""
    position, key = key.split(":", 1)
    return int(position), key


class _Reader:
    """A unit's controls as parts, in the order of its panel."""

    def __init__(self, unit: UnitSet):
        self.unit, self.controls = unit, StageControls(unit.controls, unit.then)

    def parts(self) -> list[Part]:
        found = [*self._gains(), *self._cuts(), *self._bands(), *self._dynamics()]
        return [part for _, part in sorted(found, key=lambda pair: pair[0])]

    def _gains(self) -> Iterator[tuple[int, Part]]:
        for control in self._logged(Meaning.GAIN, Meaning.OUTPUT, Meaning.PAD, Meaning.MAKE_UP):
            if control.unit != "dB":
                continue
            switch = None
            if control.meaning == Meaning.MAKE_UP:
                switch = self._switch("compressor", control.group)
            if control.meaning == Meaning.PAD:
                level = self._stepped(control, lambda value: -abs(value))
            else:
                level = self._knob(control)
            yield self._at(control), Gain(level, switch)

    def _cuts(self) -> Iterator[tuple[int, Part]]:
        for control in self._logged(Meaning.FILTER_FREQUENCY):
            shape = cut_shape(control, [])
            if control.kind in DETENTED:
                hertz = self._stepped(
                    control, lambda at, it=control, shape=shape: hertz_at(it, at) or _OUT[shape]
                )
            else:
                hertz = self._in_hertz(control)
            if hertz is not None:
                order = order_of(self.controls, control, [])
                switch = self._switch("filters", control.group)
                yield self._at(control), Filter(shape, hertz, order=order, switch=switch)

    def _bands(self) -> Iterator[tuple[int, Part]]:
        gains = self.controls.of(Meaning.BAND_GAIN)
        numbers = [gain.band for gain in gains if gain.band is not None]
        for gain in self._logged(Meaning.BAND_GAIN):
            hertz = self._band_hertz(gain)
            if hertz is None or gain.unit != "dB":
                continue
            shape = band_shape(self.controls, gain, numbers, [])
            switch = self._switch("equaliser", gain.group)
            q = self._band_q(gain) or band_q(self.controls, gain, shape, [])
            yield self._at(gain), Filter(shape, hertz, self._knob(gain), q, switch=switch)

    def _band_hertz(self, gain: Control) -> Knob | float | None:
        control = band_knob(self.controls, gain, Meaning.BAND_FREQUENCY)
        if control is None:
            return written_hertz(f"{gain.label} {gain.group}")
        if self.controls.setting(control) is None:
            return None
        if control.kind not in DETENTED:
            return self._in_hertz(control)
        if all(hertz_at(control, mark["value"]) for mark in control.marks):
            return self._stepped(control, lambda value: hertz_at(control, value))
        return None

    def _band_q(self, gain: Control) -> Knob | None:
        control = band_knob(self.controls, gain, Meaning.BAND_Q)
        marks = [mark["value"] for mark in control.marks] if control else []
        if not marks or min(marks) <= 0 or self.controls.setting(control) is None:
            return None
        return self._knob(control)

    def _dynamics(self) -> Iterator[tuple[int, Part]]:
        threshold = next(
            (it for it in self._logged(Meaning.THRESHOLD) if it.unit[:2] == "dB"), None
        )
        ratio = next((it for it in self._logged(Meaning.RATIO) if it.unit == ":1"), None)
        if threshold is None or ratio is None:
            return
        if ratio.kind in DETENTED:
            share = self._stepped(ratio, lambda at: _LIMITER if "∞" in word_at(ratio, at) else at)
        else:
            share = self._knob(ratio)
        yield (
            self._at(threshold),
            Dynamics(
                self._knob(threshold),
                share,
                self._knee(),
                self._time(Meaning.ATTACK),
                self._time(Meaning.RELEASE),
                self._switch("compressor", threshold.group),
            ),
        )

    def _knee(self) -> Knob | float:
        knee = next(iter(self._logged(Meaning.KNEE)), None)
        if knee is None:
            return 0.0
        if knee.unit == "dB":
            return self._knob(knee)
        if knee.kind not in DETENTED:
            return 0.0
        return self._stepped(
            knee, lambda at: SOFT_KNEE_DB * ("soft" in word_at(knee, at).casefold())
        )

    def _time(self, meaning: str) -> Knob | None:
        found = [it for it in self._logged(meaning) if it.unit in _MILLISECONDS]
        return self._knob(found[0], times=_MILLISECONDS[found[0].unit]) if found else None

    def _in_hertz(self, control: Control) -> Knob | None:
        times = {"Hz": 1.0, "kHz": 1000.0}.get(control.unit)
        return self._knob(control, times=times) if times else None

    def _switch(self, section: str, group: str) -> Knob | float | None:
        """The one that the section has; where it has several, or it is not logged, none is turned."""
        switches = self.controls.switches(section, group)
        if len(switches) != 1 or self.controls.setting(switches[0]) is None:
            return 0.0 if self.controls.engaged(section, group) is False else None
        (switch,) = switches
        return self._stepped(switch, lambda value: float(is_in_at(switch, value)))

    def _at(self, control: Control) -> int:
        return self.unit.controls.index(control)

    def _logged(self, *meanings: str) -> list[Control]:
        return [it for it in self.controls.of(*meanings) if self.controls.setting(it) is not None]

    def _stepped(self, control: Control, figure) -> Knob:
        values = [mark["value"] for mark in control.marks]
        return self._knob(control, figures=tuple((value, figure(value)) for value in values))

    def _knob(self, control: Control, **facts) -> Knob:
        return Knob(
            f"{self.unit.position}:{control.key}",
            control.meaning,
            self.unit.then[control.key],
            control.dial(),
            control.unit,
            self.unit.now.get(control.key),
            **facts,
        )
