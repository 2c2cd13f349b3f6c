"""Where the test file stands in a return, and how fast the clocks run against each other.

The marks at both ends are found by correlation, to a fraction of a sample; the clock then comes from the phase of
1 kHz between the first tone and the last, which a minute makes exact to thousandths of a millionth.
"""

import itertools
import math
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.marks import Found, find_marks
from gear.audio.proving.plan import Plan, Section
from gear.audio.proving.steady import tone

#: What the two clocks may be apart, more than any two that work are: beyond it the rates differ.
MOST_PPM = 1500.0
#: What is left out at both ends of a tone and of the silence, for what settles.
SETTLED_S = 0.1


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

    def second_at(self, sample: float) -> float:
        """Of the file."""
        return (sample - self.first) / self.rate_hz

    def later_by(self, samples: float) -> "Alignment":
        return Alignment(self.first + samples, self.rate_hz, self.nominal_hz)

    def cut(self, samples: np.ndarray, section: Section) -> np.ndarray:
        """The samples of a section, from the one nearest to its start."""
        begin, end = (round(self.sample_at(second)) for second in (section.start_s, section.end_s))
        return samples[max(begin, 0) : max(end, 0)]

    def settled(self, samples: np.ndarray, section: Section) -> np.ndarray:
        """The inner part of a section in which nothing changes."""
        edge = math.ceil(SETTLED_S * self.rate_hz)
        return self.cut(samples, section)[edge:-edge]


def align(plan: Plan, samples: np.ndarray, rate_hz: int) -> Alignment | None:
    """By the marks, then by the tones; None where both marks aren't found as far apart as they were played."""
    pair = likeliest_pair(plan, *find_marks(plan, samples, rate_hz), rate_hz)
    if pair is None:
        return None
    start, end = pair
    first, last = plan.of("mark")
    rate = (end.at - start.at) / (last.start_s - first.start_s)
    return _by_phase(plan, samples, Alignment(start.at - first.start_s * rate, rate, rate_hz))


def likeliest_pair(
    plan: Plan, starts: list[Found], ends: list[Found], rate_hz: float
) -> tuple[Found, Found] | None:
    first, last = plan.of("mark")
    apart = (last.start_s - first.start_s) * rate_hz
    pairs = [
        (start, end)
        for start, end in itertools.product(starts, ends)
        if abs((end.at - start.at) / apart - 1) < MOST_PPM * 1e-6
    ]
    return max(pairs, key=lambda pair: pair[0].likeness * pair[1].likeness, default=None)


def _by_phase(plan: Plan, samples: np.ndarray, rough: Alignment) -> Alignment:
    """Marks tell the distance of the tones to far less than a cycle, their phases tell the rest."""
    first, last = plan.of("tone")
    found, rate = rough, rough.rate_hz
    for _ in range(2):
        turned = math.remainder(
            turn(found, samples, last) - turn(found, samples, first), 2 * math.pi
        )
        rate /= 1 + turned / (2 * math.pi * first.hertz * (last.start_s - first.start_s))
        middle = plan.of("mark")[0].start_s * (rough.rate_hz - rate)
        found = Alignment(rough.first + middle, rate, rough.nominal_hz)
    return found


def turn(alignment: Alignment, samples: np.ndarray, section: Section) -> float:
    """The phase of a tone against the one that was played, in radians, as it is in its middle."""
    return turn_and_doubt(alignment, samples, section)[0]


def turn_and_doubt(
    alignment: Alignment, samples: np.ndarray, section: Section
) -> tuple[float, float]:
    """With by how much noise lets it be off (standard deviation)."""
    heard = alignment.settled(samples, section)
    found = tone(heard, alignment.rate_hz, section.hertz)
    begin = round(alignment.sample_at(section.start_s)) + math.ceil(SETTLED_S * alignment.rate_hz)
    played = 2 * math.pi * section.hertz * (alignment.second_at(begin) - section.start_s)
    return math.remainder(found.phase - played, 2 * math.pi), found.phase_doubt
