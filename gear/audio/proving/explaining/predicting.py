"""What a model does with its controls at given coordinates: response and static curve, in one row."""

from dataclasses import dataclass

import numpy as np

from gear.audio.curves import CUTS, Band
from gear.audio.proving.explaining.coordinates import coordinate, coordinate_of, ends
from gear.audio.proving.explaining.model import Dynamics, Figure, Filter, Gain, Knob, Model
from gear.audio.proving.result import HERTZ

#: Every fourth of HERTZ, twenty points a decade: 1 kHz is one of them.
EVERY = 4
GRID_HZ = np.array(HERTZ[::EVERY])
TONE = int(np.argmin(abs(GRID_HZ - 1000)))
ELSEWHERE = "elsewhere"

#: How far a law that isn't known may be off, in coordinates. Ours, no source.
_DOUBTS = {"band_frequency": 0.12, "filter_frequency": 0.12, "band_q": 0.35, "ratio": 0.08}
_DOUBTS_OF_OTHERS = {"band_frequency": 0.12, "band_q": 0.35, "knee": 3.0}
_DB_DOUBT, _KNEE_DOUBT, _THRESHOLD_DOUBT = 0.3, 3.0, 6.0


@dataclass(frozen=True)
class Slot:
    """One number of the model: a control's, or one of the parts' own that no control gives (knob None).
    doubt: how far it may be off when the model is calibrated, 0 for what is fixed."""

    key: str
    meaning: str
    knob: Knob | None
    x: float
    low: float
    high: float
    doubt: float

    @property
    def is_free(self) -> bool:
        """Of no control, or one whose reference is never known: found even if the laws are as engraved."""
        return self.knob is None or self.meaning == "threshold"


class Predictor:
    """Calls give the response in dB at GRID_HZ, as a sweep at `sweep_in` meets it, then the level out at
    each of `levels_in`. A sweep is so slow that a compressor acts on it as on a steady tone."""

    def __init__(self, model: Model, levels_in: np.ndarray, sweep_in: float):
        self.slots: list[Slot] = []
        self.levels_in, self.sweep_in = levels_in, sweep_in
        self._index: dict[str, int] = {}
        self._parts = [self._compiled(n, part) for n, part in enumerate(model.parts)]
        self._add(Slot(ELSEWHERE, "gain", None, 0.0, -60.0, 60.0, 60.0))
        self._stored: dict[tuple, np.ndarray] = {}

    @property
    def logged(self) -> np.ndarray:
        return np.array([slot.x for slot in self.slots])

    @property
    def bounds(self) -> tuple[np.ndarray, np.ndarray]:
        return (
            np.array([slot.low for slot in self.slots]),
            np.array([slot.high for slot in self.slots]),
        )

    def __call__(self, x: np.ndarray, sweep_in: float | None = None) -> np.ndarray:
        sweep_in = self.sweep_in if sweep_in is None else sweep_in
        sweep, levels = np.full(GRID_HZ.size, sweep_in), self.levels_in
        for part, places in self._parts:
            at = [x[place] for place in places]
            if part.switch is not None and at.pop() < 0.5:
                continue
            if isinstance(part, Gain):
                sweep, levels = sweep + at[0], levels + at[0]
            elif isinstance(part, Filter):
                gains = self._filter(part, *at)
                sweep, levels = sweep + gains, levels + gains[TONE]
            else:
                sweep, levels = (each - reduction(each, *at) for each in (sweep, levels))
        return np.concatenate([sweep - sweep_in + x[-1], levels + x[-1]])

    def bands(self, n: int) -> list[tuple[int, int, int]]:
        """Where frequency, gain and Q stand of the bands that a slot belongs to."""
        return [
            tuple(places[:3])
            for part, places in self._parts
            if isinstance(part, Filter) and part.shape not in CUTS and n in places
        ]

    def _compiled(self, n: int, part):
        names = {
            Gain: ["level_db"],
            Filter: ["frequency_hz", "gain_db", "q"],
            Dynamics: ["threshold", "ratio", "knee_db"],
        }[type(part)]
        if part.switch is not None:
            names = [*names, "switch"]
        return part, [
            self._place(f"{n}.{name}", _MEANINGS[name], getattr(part, name)) for name in names
        ]

    def _place(self, key: str, meaning: str, figure: Figure) -> int:
        if isinstance(figure, Knob):
            if figure.key not in self._index:
                self._add(_slot_of(figure))
            return self._index[figure.key]
        x = coordinate(meaning, figure)
        doubt = _DOUBTS_OF_OTHERS.get(meaning, 0.0)
        low = 0.0 if meaning == "knee" else x - 3 * doubt
        return self._add(Slot(key, meaning, None, x, low, x + 3 * doubt, doubt))

    def _add(self, slot: Slot) -> int:
        self._index[slot.key] = len(self.slots)
        self.slots.append(slot)
        return self._index[slot.key]

    def _filter(self, part: Filter, frequency: float, gain: float, q: float) -> np.ndarray:
        key = part.shape, part.order, frequency, gain, q
        if key not in self._stored:
            if len(self._stored) > 4096:
                self._stored.clear()
            self._stored[key] = _gains(part, np.exp(frequency), gain, np.exp(q))
        return self._stored[key]


_MEANINGS = {
    "level_db": "gain",
    "frequency_hz": "band_frequency",
    "gain_db": "band_gain",
    "q": "band_q",
    "threshold": "threshold",
    "ratio": "ratio",
    "knee_db": "knee",
    "switch": "bypass",
}


def reduction(levels: np.ndarray, threshold: float, share: float, knee: float) -> np.ndarray:
    """How much is taken off steady levels, in dB: `gear.audio.curves.Compressor.reduction_db` for many
    levels at once (Giannoulis, Massberg and Reiss, 2012). share: 1 - 1/ratio."""
    over = levels - threshold
    if knee <= 0:
        return share * np.maximum(over, 0.0)
    inside = np.clip(over + knee / 2, 0.0, knee)
    return share * (inside**2 / (2 * knee) + np.maximum(over - knee / 2, 0.0))


def _gains(part: Filter, hertz: float, gain: float, q: float) -> np.ndarray:
    band = Band(part.shape, hertz, gain, q, part.order)
    if part.shape not in CUTS and gain == 0:
        return np.zeros(GRID_HZ.size)
    at = (GRID_HZ / hertz) ** 2
    power = np.ones(GRID_HZ.size)
    for top, bottom in band.prototypes():
        power = power * _squared(top, at) / _squared(bottom, at)
    return 10 * np.log10(np.maximum(power, 1e-30))


def _squared(terms: list[float], at: np.ndarray) -> np.ndarray:
    """|P(js)|² of a polynomial up to the second power, at being s²."""
    c0, c1, c2 = [*terms, 0.0, 0.0][:3]
    return (c0 - c2 * at) ** 2 + c1**2 * at


def _slot_of(knob: Knob) -> Slot:
    x = coordinate_of(knob, knob.value)
    low, high = ends(knob)
    return Slot(knob.key, knob.meaning, knob, x, min(low, x), max(high, x), _doubt(knob))


def _doubt(knob: Knob) -> float:
    """A plain gain has none: `elsewhere` takes what it is off. A threshold's reference is never known."""
    if knob.meaning == "threshold":
        return _THRESHOLD_DOUBT
    if knob.meaning == "band_gain":
        return _DB_DOUBT + 0.15 * abs(knob.value)
    return _KNEE_DOUBT if knob.meaning == "knee" else _DOUBTS.get(knob.meaning, 0.0)
