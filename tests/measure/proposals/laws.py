"""What units make of their controls: as engraved, or by a taper and with a Q of their own."""

from dataclasses import dataclass, field

import numpy as np

from gear.audio.proving.explaining.coordinates import coordinate_of, ends, figure_at
from gear.audio.proving.explaining.model import Dynamics, Figure, Filter, Gain, Knob, Model
from tests.simulated import Chain, HighPass, HighShelf, LowPass, LowShelf, Peak
from tests.simulated import Compressor as Loop
from tests.simulated import Gain as Level

_CUTS = {"low cut": HighPass, "high cut": LowPass}
_BANDS = {"peak": Peak, "low shelf": LowShelf, "high shelf": HighShelf}


@dataclass(frozen=True)
class Law:
    """Of one chain. `bends` by control: of a band's gain an exponent, of others the share by which the
    middle of the travel is off, and how much faster it turns there."""

    bends: dict[str, tuple[float, float]] = field(default_factory=dict)
    qs: dict[str, tuple[float, float]] = field(default_factory=dict)

    @classmethod
    def drawn(cls, model: Model, chance: np.random.Generator) -> "Law":
        bends, qs = {}, {}
        for each in model.knobs():
            if each.meaning == "band_gain":
                bends[each.key] = chance.uniform(0.75, 1.35), 0.0
            else:
                bends[each.key] = chance.uniform(-0.04, 0.04), chance.uniform(-0.3, 0.3)
        for part in model.parts:
            if isinstance(part, Filter) and part.shape in _BANDS:
                qs[part.gain_db.key] = (
                    float(np.exp(0.25 * chance.standard_normal())),
                    chance.uniform(0, 0.8),
                )
        return cls(bends, qs)

    def figure(self, it: Figure, values: dict[str, float]) -> float:
        """What the control does where it stands."""
        if not isinstance(it, Knob):
            return it
        value = values[it.key]
        if it.key not in self.bends:
            return it.figure(value)
        first, second = self.bends[it.key]
        if it.meaning == "band_gain":
            most = max(mark.value for mark in it.dial.marks)
            return float(np.sign(value) * most * (abs(value) / most) ** first)
        low, high = ends(it)
        share = (coordinate_of(it, value) - low) / (high - low)
        if it.is_stepped:  # its steps are resistors: each a little off
            bent = share + 0.01 * np.sin(997 * share + 50 * first)
        else:
            bent = share + first * np.sin(np.pi * share)
            bent += second * np.sin(2 * np.pi * share) / (2 * np.pi)
        return figure_at(it.meaning, low + bent * (high - low))

    def chain(self, model: Model, values: dict[str, float], feed_db: float) -> Chain:
        """feed_db: what 0 dBFS of the file is in dBu where it is fed, so that a threshold is one in dBu."""
        stages = [Level(feed_db)]
        for part in model.parts:
            if isinstance(part, Gain):
                stages.append(Level(self.figure(part.level_db, values)))
            elif isinstance(part, Dynamics):
                at = [self.figure(it, values) for it in (part.threshold, part.ratio, part.knee_db)]
                stages.append(Loop(*at))
            else:
                stages.append(self._filter(part, values))
        return Chain((*stages, Level(-feed_db)))

    def _filter(self, part: Filter, values: dict[str, float]):
        hertz = self.figure(part.frequency_hz, values)
        if part.shape in _CUTS:
            return _CUTS[part.shape](hertz, part.order)
        gain, q = self.figure(part.gain_db, values), self.figure(part.q, values)
        times, with_gain = self.qs.get(part.gain_db.key, (1.0, 0.0))
        return _BANDS[part.shape](hertz, gain, q * times * (1 + with_gain * abs(gain) / 12))
