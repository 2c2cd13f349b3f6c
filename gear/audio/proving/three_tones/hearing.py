"""A recording held against the file of the three tones: whether it is one, and how loud each tone is.

A tone is the power in a narrow band round it: neither clocks that differ nor a tape's wow take
anything from that.
"""

from functools import cached_property

import numpy as np

from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.locating import SETTLES_S, SPARE_S, Located

#: Half of the band that a tone is read in: a share of its frequency, and at least so many lines.
BAND, BAND_LINES = 0.01, 8
#: A tone that lies so far below what the search found is another one near it.
ANOTHER_DB = 3.0
#: What a section without its own tone has more than the pause before it, where another one sounds.
SOUNDS_DB = 10.0


class Heard:
    """A recording held against the file, played so many times too fast."""

    def __init__(self, plan: ThreeTones, samples: np.ndarray, rate_hz: float, ratio: float = 1.0):
        self.found = Located(plan, samples, rate_hz, ratio)
        self._samples, self._rate_hz = samples, rate_hz
        self.parts = [
            self._part(each.start_s + SETTLES_S, each.end_s - SPARE_S)
            for each in self.found.sections
        ]
        ends_s = self.found.starts_s + self.found.sections[-1].end_s
        begins_late = self.found.starts_s + SETTLES_S < 0
        self.is_cut = begins_late or ends_s - SPARE_S > samples.size / rate_hz

    @cached_property
    def spectra(self) -> "list[Spectrum]":
        return [Spectrum(part, self._rate_hz) for part in self.parts]

    @cached_property
    def is_it(self) -> bool:
        """Nothing else sounds where a tone should: of another frequency near its own, or far from it."""
        return self.found.is_it and (self.is_cut or not any(map(self._is_another, range(4))))

    def _is_another(self, index: int) -> bool:
        section, level = self.found.sections[index], self.levels[index]
        if level is not None:
            return float(np.mean(self.found.levels_db(section))) - level > ANOTHER_DB
        before = self._part(section.start_s - 0.6, section.start_s - 0.2)
        return _power_db(self.parts[index]) - _power_db(before) > SOUNDS_DB

    @cached_property
    def levels(self) -> list[float | None]:
        """Section by section, None where its frequency isn't told from what else sounds."""
        return [
            spectrum.level_dbfs(section.hertz) if self.found.is_there(section.hertz) else None
            for section, spectrum in zip(self.found.sections, self.spectra, strict=True)
        ]

    def _part(self, from_s: float, to_s: float) -> np.ndarray:
        """Timed from the first tone."""
        first, last = (round((self.found.starts_s + at) * self._rate_hz) for at in (from_s, to_s))
        return self._samples[max(first, 0) : max(last, 0)]


class Spectrum:
    """Power by frequency of what is read of a section."""

    def __init__(self, part: np.ndarray, rate_hz: float):
        window = np.hanning(part.size)
        self._power = np.abs(np.fft.rfft(part * window)) ** 2
        self._line_hz = rate_hz / part.size
        # By Parseval: a sine of amplitude A has A^2 / 2 times the window's mean square.
        self._scale = 4 / (part.size**2 * np.mean(window**2))

    def level_dbfs(self, hertz: float) -> float:
        """Of a sine's peak, less the noise that lies in its band as much as beside it."""
        half = self._half_hz(hertz)
        beside = (self._in(hertz - 2 * half, half) + self._in(hertz + 2 * half, half)) / 2
        tone = self._in(hertz, half)
        return float(10 * np.log10(max(tone - beside, 1e-3 * tone, 1e-30)))

    def distortion_db(self, hertz: float) -> float:
        """The second to fifth harmonic together, against the fundamental."""
        half = self._half_hz(hertz)
        harmonics = sum(self._in(n * hertz, half) for n in range(2, 6))
        return float(10 * np.log10((harmonics + 1e-30) / (self._in(hertz, half) + 1e-30)))

    def _half_hz(self, hertz: float) -> float:
        return max(BAND * hertz, BAND_LINES * self._line_hz)

    def _in(self, middle_hz: float, half_hz: float) -> float:
        first = max(round((middle_hz - half_hz) / self._line_hz), 0)
        last = round((middle_hz + half_hz) / self._line_hz)
        return float(np.sum(self._power[first : last + 1]) * self._scale)


def _power_db(samples: np.ndarray) -> float:
    return (
        float(10 * np.log10(np.mean(np.square(samples), dtype=float) + 1e-30))
        if samples.size
        else 0.0
    )
