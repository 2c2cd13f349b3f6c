"""What an equaliser and a compressor do to a signal, as curves in dB.

Equaliser bands follow the Audio EQ Cookbook (W3C Group Note, 8 June 2021): its analogue prototypes,
which are what equipment without a sample rate does.
The compressor's curve is that of Giannoulis, Massberg and Reiss, JAES 60(6), 2012.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, get_args

Shape = Literal["peak", "low shelf", "high shelf", "low cut", "high cut"]
SHAPES: tuple[Shape, ...] = get_args(Shape)
CUTS: tuple[Shape, ...] = ("low cut", "high cut")

#: The Q of a maximally flat cut of second order, and of a shelf of slope 1.
BUTTERWORTH_Q = math.sqrt(0.5)
#: What is heard.
LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0


@dataclass(frozen=True)
class Band:
    """One band of an equaliser or one of its filters.

    frequency_hz is the centre of a peak, the point of half the gain of a shelf and, of a cut, the
    point where it takes 3 dB off. gain_db counts for peaks and shelves, q for all but cuts. A cut
    has an order: 1 for 6 dB an octave, 2 for 12, and so on, each maximally flat (Butterworth).
    Raises ValueError for what no filter has.
    """

    shape: Shape
    frequency_hz: float
    gain_db: float = 0.0
    q: float = BUTTERWORTH_Q
    order: int = 2

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            raise ValueError(f"“{self.shape}” is not a shape. Choose one of {', '.join(SHAPES)}.")
        if self.frequency_hz <= 0 or self.q <= 0:
            raise ValueError("A band’s frequency and Q are above zero.")
        if self.order < 1:
            raise ValueError("A cut’s order is 1 (6 dB an octave) or more.")

    def gain_at(self, hertz: float) -> float:
        """The band's gain in dB at a frequency, as its analogue prototype has it."""
        s = 1j * hertz / self.frequency_hz
        return sum(
            _decibels(_polynomial(top, s) / _polynomial(bottom, s))
            for top, bottom in self.prototypes()
        )

    def prototypes(self) -> list[tuple[list[float], list[float]]]:
        """Numerator and denominator of each analogue section, the power 0 of s first.

        s is counted in the band's own frequency. Of the Cookbook's H(s), section "analog
        prototypes"; cuts of other orders by Butterworth's poles.
        """
        if self.shape in CUTS:
            return [_cut_section(self.shape, *section) for section in _sections(self.order)]
        a, width = 10 ** (self.gain_db / 40), 1 / self.q
        if self.shape == "peak":
            return [([1, a * width, 1], [1, width / a, 1])]
        slope = math.sqrt(a) * width
        low = [a, slope, 1.0], [1.0, slope, a]
        top, bottom = low if self.shape == "low shelf" else (low[1], low[0])
        return [([a * term for term in top], bottom)]


def response_db(bands: Iterable[Band], hertz: float) -> float:
    """The gain in dB of bands one after the other, at a frequency."""
    return sum(band.gain_at(hertz) for band in bands)


def frequencies(count: int = 97) -> list[float]:
    """Evenly spread by ear from 20 Hz to 20 kHz."""
    return [LOWEST_HZ * (HIGHEST_HZ / LOWEST_HZ) ** (n / (count - 1)) for n in range(count)]


def order_of_slope(db_per_octave: float) -> int:
    """A cut’s order from its slope: 6 dB an octave each. Raises ValueError for another slope."""
    order = round(abs(db_per_octave) / 6)
    if order < 1 or not math.isclose(6 * order, abs(db_per_octave), abs_tol=0.5):
        raise ValueError("A cut’s slope is a multiple of 6 dB an octave.")
    return order


@dataclass(frozen=True)
class Compressor:
    """A compressor's static curve: threshold and knee in dB, ratio as in 4:1 (math.inf: a limiter).

    Raises ValueError for a ratio below 1 or a negative knee.
    """

    threshold_db: float
    ratio: float
    knee_db: float = 0.0
    make_up_db: float = 0.0

    def __post_init__(self) -> None:
        if self.ratio < 1:
            raise ValueError("A compressor’s ratio is 1:1 or more.")
        if self.knee_db < 0:
            raise ValueError("A knee is 0 dB wide (hard) or more.")

    def output_db(self, input_db: float) -> float:
        """What a steady level comes out at, with make-up."""
        return input_db - self.reduction_db(input_db) + self.make_up_db

    def reduction_db(self, input_db: float) -> float:
        """How much is taken off a steady level, never negative."""
        over, slope = input_db - self.threshold_db, 1 - 1 / self.ratio
        if 2 * over < -self.knee_db:
            return 0.0
        if self.knee_db and 2 * abs(over) <= self.knee_db:
            return slope * (over + self.knee_db / 2) ** 2 / (2 * self.knee_db)
        return slope * max(over, 0.0)


def _sections(order: int) -> list[tuple[int, float]]:
    """A Butterworth cut in sections of (order, Q): pairs of poles, and one alone if odd."""
    pairs = [
        (2, 1 / (2 * math.cos(math.pi * (2 * n + 1 + order % 2) / (2 * order))))
        for n in range(order // 2)
    ]
    return pairs + [(1, BUTTERWORTH_Q)] * (order % 2)


def _cut_section(shape: Shape, order: int, q: float) -> tuple[list[float], list[float]]:
    bottom = [1.0, 1.0] if order == 1 else [1.0, 1 / q, 1.0]
    top = [0.0] * (order + 1)
    top[order if shape == "low cut" else 0] = 1.0
    return top, bottom


def _polynomial(terms: list[float], x: complex) -> complex:
    return sum(term * x**power for power, term in enumerate(terms))


def _decibels(gain: complex) -> float:
    size = abs(gain)
    return 20 * math.log10(size) if size > 0 else -math.inf
