"""A curve on a grid, for pages and for paper.

Black on white first: the curve is thick, a line to compare it with is dashed, and the grid is thin,
so that a photocopy still works. As with controls the attributes are literal and the nodes few: all
lines of one width are one path.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.utils.safestring import SafeString

from gear.audio.curves import HIGHEST_HZ, LOWEST_HZ, Band, Compressor, frequencies, response_db
from gear.audio.values import format_value
from gear.panels.strokes import Drawing, Stroke, Words, as_svg

Point = tuple[float, float | None]  # None: not told there, and nothing is drawn

_WIDTH, _HEIGHT = 224, 80
_LEFT, _RIGHT, _TOP, _BOTTOM = 28, 4, 4, 13
_LETTERS = 10


@dataclass(frozen=True)
class Axis:
    """From where to where, the lines across it, and what is written at some of them."""

    low: float
    high: float
    lines: tuple[float, ...]
    labels: tuple[tuple[float, str], ...]
    unit: str
    is_log: bool = False

    def share(self, value: float) -> float:
        """How far along the axis a value lies, from 0 to 1."""
        if self.is_log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)


@dataclass(frozen=True)
class Plot:
    """A curve and its axes. title says in words what it shows; compared is drawn dashed."""

    title: str
    points: tuple[Point, ...]
    across: Axis
    up: Axis
    compared: tuple[Point, ...] = ()


FREQUENCY = Axis(
    LOWEST_HZ,
    HIGHEST_HZ,
    tuple(n * decade for decade in (10, 100, 1000, 10_000) for n in (1, 2, 5))[1:11],
    ((100, "100 Hz"), (1000, "1 kHz"), (10_000, "10 kHz")),
    "Hz",
    is_log=True,
)


def equaliser_plot(bands: Iterable[Band], title: str) -> Plot:
    """The gain of bands in a row against frequency; ±18 dB, or as much more as it takes."""
    bands = tuple(bands)
    points = tuple((hertz, response_db(bands, hertz)) for hertz in frequencies())
    highest = max(abs(gain) for hertz, gain in points if gain > -30)
    reach = 18 if highest <= 18 else 30
    compared = ((LOWEST_HZ, 0.0), (HIGHEST_HZ, 0.0))
    return Plot(title, points, FREQUENCY, _decibels(-reach, reach, 6), compared)


def compressor_plot(compressor: Compressor, title: str, unit: str) -> Plot:
    """Output against input in the threshold's unit, beside the line of no compression."""
    middle = 10 * round(compressor.threshold_db / 10)
    low, high = middle - 30, middle + 30
    levels = [low + n / 2 for n in range(2 * (high - low) + 1)]
    points = tuple((level, compressor.output_db(level)) for level in levels)
    return Plot(
        title,
        points,
        _decibels(low, high, 10, unit),
        _decibels(low, high, 10, unit),
        ((low, low), (high, high)),
    )


def response_plot(points: Iterable[Point], title: str, compared: Iterable[Point] = ()) -> Plot:
    """A measured response in dB against frequency in Hz, beside another or the flat line; what lies
    far below the rest runs along the edge."""
    points, compared = tuple(points), tuple(compared)
    gains = (gain for _, gain in (*points, *compared) if gain is not None and gain > -20)
    highest = max(map(abs, gains), default=0)
    reach = next((each for each in (6, 12, 18) if highest <= each), 30)
    flat = ((LOWEST_HZ, 0.0), (HIGHEST_HZ, 0.0))
    return Plot(title, points, FREQUENCY, _decibels(-reach, reach, reach // 3), compared or flat)


def draw_plot(plot: Plot, *, ink: str = "currentColor") -> SafeString:
    """The plot as an SVG element whose title says what it shows. Paper passes PAPER_INK."""
    return as_svg(plot_drawing(plot), width=448, height=160, ink=ink)


def plot_drawing(plot: Plot) -> Drawing:
    strokes = (
        Stroke(_grid(plot), 0.5),
        Stroke(_line(plot, plot.compared), 1, dash=4),
        Stroke(_line(plot, plot.points), 2.5),
    )
    return Drawing(plot.title, _WIDTH, _HEIGHT, strokes, tuple(_labels(plot)), _LETTERS)


def _decibels(low: int, high: int, step: int, unit: str = "dB") -> Axis:
    lines = tuple(range(low, high + 1, step))
    named = lines[1:-1:2] if len(lines) > 5 else lines
    return Axis(low, high, lines, tuple((line, format_value(line, unit)) for line in named), unit)


def _x(axis: Axis, value: float) -> float:
    return _LEFT + axis.share(value) * (_WIDTH - _LEFT - _RIGHT)


def _y(axis: Axis, value: float) -> float:
    share = min(
        1.0, max(0.0, axis.share(max(value, axis.low)))
    )  # what leaves the grid runs along it
    return _HEIGHT - _BOTTOM - share * (_HEIGHT - _TOP - _BOTTOM)


def _grid(plot: Plot) -> str:
    upright = (f"M{_x(plot.across, at):.1f} {_TOP}V{_HEIGHT - _BOTTOM}" for at in plot.across.lines)
    level = (f"M{_LEFT} {_y(plot.up, at):.1f}H{_WIDTH - _RIGHT}" for at in plot.up.lines)
    return "".join([*upright, *level])


def _line(plot: Plot, points: Iterable[Point]) -> str:
    runs = groupby(points, key=lambda point: point[1] is not None)
    drawn = (
        "L".join(f"{_x(plot.across, x):.1f} {_y(plot.up, y):.1f}" for x, y in run)
        for is_told, run in runs
        if is_told
    )
    return "".join(f"M{corners}" for corners in drawn)


def _labels(plot: Plot) -> list[Words]:
    across = [
        Words(said, round(_x(plot.across, at), 1), _HEIGHT - 2) for at, said in plot.across.labels
    ]
    up = [
        Words(
            said.removesuffix(f" {plot.up.unit}").removesuffix(".0"),
            _LEFT - 3,
            round(_y(plot.up, at) + 3.5, 1),
            "end",
        )
        for at, said in plot.up.labels
    ]
    corner = Words(plot.up.unit, _LEFT - 3, _HEIGHT - 2, "end")  # what the figures above it count
    return [*across, *up, corner]
