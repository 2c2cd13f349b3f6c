"""Where the test file stands in a return, and how fast the clocks run against each other.

The marks at both ends are found by correlation, to a fraction of a sample; the clock then comes from the phase of
1 kHz between the first tone and the last, which a minute makes exact to thousandths of a millionth.
"""

import itertools
import math
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.plan import MARK_S, Plan, Section
from gear.audio.proving.result import NotMeasured
from gear.audio.proving.signal import section_at

#: What the marks are looked for in: above hum and rumble, and with room above the marks.
_BAND_HZ = (300.0, 10_000.0)
#: How much of the energy in a mark's place has to be the mark (as a correlation), at least: an equaliser may take
#: much of a mark away, other sounds stay below a tenth.
LEAST_LIKE = 0.2
#: What the two clocks may be apart, more than any two that work are: beyond it the rates differ.
MOST_PPM = 1500.0
_CANDIDATES = 6
_SETTLED_S = 0.1  # what is left out at both ends of a tone


@dataclass(frozen=True)
class Alignment:
    """The return has the file's second t at the sample `first + t * rate_hz`, both of them no whole numbers."""

    first: float
    rate_hz: float
    nominal_hz: int

    @property
    def clock_ppm(self) -> float:
        """By how much more samples came back than were played."""
        return 1e6 * (self.rate_hz / self.nominal_hz - 1)

    def sample_at(self, second: float) -> float:
        return self.first + second * self.rate_hz

    def later_by(self, samples: float) -> "Alignment":
        return Alignment(self.first + samples, self.rate_hz, self.nominal_hz)

    def cut(self, samples: np.ndarray, section: Section, then_s: float = 0.0) -> np.ndarray:
        """The samples of a section, from the one nearest to its start, and as long as wanted after it."""
        begin = round(self.sample_at(section.start_s))
        end = round(self.sample_at(section.end_s + then_s))
        return samples[max(begin, 0) : max(end, 0)]


@dataclass(frozen=True)
class Found:
    """A mark: its first sample, and how much what stands there is like it (0 to 1)."""

    at: float
    likeness: float


def align(plan: Plan, samples: np.ndarray, rate_hz: int) -> Alignment:
    """By the marks, then by the tones. Raises NotMeasured where the file isn't there as a whole."""
    start, end = _pair(plan, samples, rate_hz)
    first, last = plan.of("mark")
    rate = (end.at - start.at) / (last.start_s - first.start_s)
    rough = Alignment(start.at - first.start_s * rate, rate, rate_hz)
    return _by_phase(plan, samples, rough)


def find_marks(samples: np.ndarray, rate_hz: float, plan: Plan) -> tuple[list[Found], list[Found]]:
    """The likeliest places of the first mark and of the last, best first."""
    return tuple(
        _peaks(likeness, rate, rate_hz) for likeness, rate in _likenesses(samples, rate_hz, plan)
    )


def _pair(plan: Plan, samples: np.ndarray, rate_hz: int) -> tuple[Found, Found]:
    starts, ends = find_marks(samples, rate_hz, plan)
    first, last = plan.of("mark")
    apart = (last.start_s - first.start_s) * rate_hz
    pairs = [
        (start.likeness * end.likeness, start, end)
        for start, end in itertools.product(starts, ends)
        if abs((end.at - start.at) / apart - 1) < MOST_PPM * 1e-6
    ]
    if not pairs:
        raise NotMeasured(
            "other file", "This isn’t a recording of the test file: its marks aren’t there."
        )
    _, start, end = max(pairs, key=lambda pair: pair[0])
    return start, end


def _likenesses(samples: np.ndarray, rate_hz: float, plan: Plan):
    """Of each mark: its normalised correlation with the samples, and the rate that this stands at.

    Block by block with half as much again as a mark; only the band of the marks is transformed back, so at a
    lower rate.
    """
    length = math.ceil(MARK_S * rate_hz)
    size = 1 << (4 * length - 1).bit_length()
    fewer = 1 << int(math.log2(rate_hz / (2.0 * _BAND_HZ[1])))
    small, step = size // fewer, (size - length) // fewer * fewer
    low, high = (round(edge * size / rate_hz) for edge in _BAND_HZ)
    seconds = np.arange(length) / rate_hz
    marks = [
        np.conj(np.fft.rfft(section_at(plan, mark, seconds).astype(np.float32), size))
        for mark in plan.of("mark")
    ]
    for mark in marks:
        mark[:low] = 0
        mark[high:] = 0
        mark /= np.sqrt(2 * np.sum(np.abs(mark) ** 2) / size)
    count = math.ceil(len(samples) / step)
    found = np.zeros((len(marks), count * step // fewer), np.float32)
    energy = np.zeros(count * step // fewer, np.float32)
    for block in range(count):
        spectrum = np.fft.rfft(samples[block * step : block * step + size], size)
        place = slice(block * step // fewer, (block + 1) * step // fewer)
        for row, mark in zip(found, marks, strict=True):
            row[place] = np.fft.irfft((spectrum * mark)[: small // 2 + 1], small)[: step // fewer]
        spectrum[:low] = 0
        spectrum[high:] = 0
        heard = np.fft.irfft(spectrum[: small // 2 + 1], small) ** 2
        sums = np.concatenate([[0.0], np.cumsum(heard, dtype=np.float64)])
        width = length // fewer
        energy[place] = (sums[width:] - sums[:-width])[: step // fewer]
    # Both transforms back are too large by `small / size`, the energy has `fewer` times fewer samples.
    level = np.sqrt(np.maximum(energy * fewer, 1e-12 * max(float(energy.max()), 1e-12)))
    return [(np.abs(row) / level, rate_hz / fewer) for row in found]


def _peaks(likeness: np.ndarray, rate: float, rate_hz: float) -> list[Found]:
    """The highest few, each a mark's length apart from the others."""
    left, found = likeness.copy(), []
    for _ in range(_CANDIDATES):
        at = int(left.argmax())
        if left[at] < LEAST_LIKE:
            break
        found.append(Found((at + peak_between(likeness, at)) * rate_hz / rate, float(likeness[at])))
        left[max(0, at - int(MARK_S * rate)) : at + int(MARK_S * rate)] = 0
    return found


def peak_between(values: np.ndarray, at: int) -> float:
    """Where the parabola through a peak and its neighbours is highest, against the peak."""
    if not 0 < at < len(values) - 1:
        return 0.0
    before, peak, after = (float(value) for value in values[at - 1 : at + 2])
    bend = before - 2 * peak + after
    return 0.5 * (before - after) / bend if bend < 0 else 0.0


def _by_phase(plan: Plan, samples: np.ndarray, rough: Alignment) -> Alignment:
    first, last = plan.of("tone")
    rate = rough.rate_hz
    for _ in range(2):
        one, other = (_phase(samples, rough.first, rate, tone) for tone in (first, last))
        # Marks tell the distance to far less than a cycle: what is left is within half of one.
        turned = math.remainder(other - one, 2 * math.pi)
        cycles = first.hertz * (last.start_s - first.start_s)
        rate /= 1 + turned / (2 * math.pi * cycles)
    return Alignment(
        rough.first + plan.of("mark")[0].start_s * (rough.rate_hz - rate), rate, rough.nominal_hz
    )


def _phase(samples: np.ndarray, zero: float, rate: float, tone: Section) -> float:
    """Against the tone as it was played, in the middle of it."""
    begin = math.ceil(zero + (tone.start_s + _SETTLED_S) * rate)
    end = math.floor(zero + (tone.end_s - _SETTLED_S) * rate)
    seconds = (np.arange(begin, end) - zero) / rate - tone.start_s
    heard = np.hanning(end - begin) * samples[begin:end]
    return float(np.angle(np.vdot(np.exp(2j * np.pi * tone.hertz * seconds), heard)))
