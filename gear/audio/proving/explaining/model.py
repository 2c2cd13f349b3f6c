"""A chain as the arithmetic sees it: its logged controls, and what they do, in signal order."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from gear.audio.curves import Shape
from gear.audio.dial import DETENTED, Dial

#: By the names that panels have for them.
Meaning = Literal[
    "gain", "output", "pad", "make_up", "band_gain", "band_frequency", "band_q",
    "filter_frequency", "threshold", "ratio", "knee", "attack", "release", "bypass",
]  # fmt: skip


@dataclass(frozen=True)
class Knob:
    """A logged control. key names it within the chain; value is where it stood then, now where the
    record says that it stands (None: there, too), both on its own scale.

    figures, of a stepped control, are pairs of a value and what it means to the arithmetic: Hz, dB, 1
    for a section that is in and 0 for one that is out; of any other it is `times` the value.
    """

    key: str
    meaning: Meaning
    value: float
    dial: Dial
    unit: str = ""
    now: float | None = None
    figures: tuple[tuple[float, float], ...] = ()
    times: float = 1.0

    @property
    def is_stepped(self) -> bool:
        return self.dial.kind in DETENTED or bool(self.figures)

    @property
    def stands_at(self) -> float:
        return self.value if self.now is None else self.now

    def figure(self, value: float) -> float:
        """What the value means to the arithmetic."""
        return dict(self.figures).get(value, self.times * value)


Figure = Knob | float


@dataclass(frozen=True)
class Gain:
    """So many dB; below 0 for a pad. switch: 1 in the path, 0 out of it."""

    level_db: Figure
    switch: Figure | None = None


@dataclass(frozen=True)
class Filter:
    """A band or a cut, as in `gear.audio.curves.Band`. A cut's frequency may lie beyond what is heard:
    then it is out."""

    shape: Shape
    frequency_hz: Figure
    gain_db: Figure = 0.0
    q: Figure = 0.7071
    order: int = 2
    switch: Figure | None = None


@dataclass(frozen=True)
class Dynamics:
    """A compressor without its make-up, which is a `Gain` after it. The threshold is a level at its
    input, by whatever reference the panel has: that is found from the measurement."""

    threshold: Figure
    ratio: Figure
    knee_db: Figure = 0.0
    attack: Knob | None = None
    release: Knob | None = None
    switch: Figure | None = None


Part = Gain | Filter | Dynamics


@dataclass(frozen=True)
class Model:
    """The parts in signal order."""

    parts: tuple[Part, ...]

    def knobs(self) -> Iterator[Knob]:
        """Each once, in signal order."""
        seen = set()
        for part in self.parts:
            for knob in vars(part).values():
                if isinstance(knob, Knob) and knob.key not in seen:
                    seen.add(knob.key)
                    yield knob
