"""The curves of a measurement on the house's grid. A second one to compare it with is drawn dashed."""

from gear.audio.proving.result import Result
from gear.audio.values import format_value
from gear.panels.plot import FREQUENCY, Axis, Plot
from sessions.recall.proving.words import relative_response, response_text

REACHES_DB = (3, 6, 12, 18, 30)
_NO_LINE = ((FREQUENCY.low, 0.0), (FREQUENCY.high, 0.0))


def response_plot(found: Result, *, then: Result | None = None, title: str = "") -> Plot | None:
    """The gain against that at 1 kHz, over frequency; dashed what it was `then`, else no difference."""
    points = relative_response(found)
    if not points:
        return None
    before = relative_response(then) if then else []
    largest = max(abs(gain) for _, gain in (*points, *before) if gain > -REACHES_DB[-1])
    reach = next((each for each in REACHES_DB if largest <= each), REACHES_DB[-1])
    return Plot(
        title or f"Response against 1 kHz: {response_text(found)}",
        tuple(points),
        FREQUENCY,
        _decibels(-reach, reach, max(1, reach // 3), "dB"),
        tuple(before) or _NO_LINE,
    )


def curve_plot(found: Result, *, then: Result | None = None, title: str = "") -> Plot | None:
    """Level out against level in, in dBu; dashed what it was `then`, else the gain of soft levels."""
    if len(found.curve) < 2:
        return None
    before = then.curve if then else ()
    gain = found.curve[0][1] - found.curve[0][0]
    straight = tuple((level, level + gain) for level, _ in found.curve)
    every = (*found.curve, *(before or straight))
    ins, outs = ([pair[n] for pair in every] for n in (0, 1))
    return Plot(
        title or "Level out against level in",
        found.curve,
        _levels_in(*_tens(ins)),
        _decibels(*_tens(outs), 10, "dBu"),
        before or straight,
    )


def _tens(levels: list[float]) -> tuple[int, int]:
    return int(min(levels) // 10 * 10), int(-(-max(levels) // 10) * 10)


def _levels_in(low: int, high: int) -> Axis:
    """Side by side, so that neither the ends are named, beside which the unit stands, nor neighbours of many."""
    lines = tuple(float(line) for line in range(low, high + 1, 10))
    named = lines[1:-1:2] if len(lines) > 4 else lines[1:-1]
    return Axis(low, high, lines, tuple((line, format_value(line, "dBu")) for line in named), "dBu")


def _decibels(low: int, high: int, step: int, unit: str) -> Axis:
    lines = tuple(float(line) for line in range(low, high + 1, step))
    named = lines[1:-1:2] if len(lines) > 5 else lines
    return Axis(low, high, lines, tuple((line, format_value(line, unit)) for line in named), unit)
