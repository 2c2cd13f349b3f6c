"""Then and now laid over each other: what was is dashed."""

import math

from gear.audio.proving.comparing import Comparison
from gear.audio.proving.result import AT_1_KHZ, HERTZ, Result
from gear.audio.values import format_value
from gear.panels.plot import Axis, Plot, response_plot

_LEVELS_DB = 10  # from line to line


def response_then_and_now(then: Result, now: Result, comparison: Comparison) -> Plot | None:
    """Against what 1 kHz was, so that a difference of level is seen, too; None where nothing is known of
    one of them."""
    if not comparison.response:
        return None
    known = [gain for gain in then.response_db if gain is not None]
    against = then.response_db[AT_1_KHZ]
    reference = sum(known) / len(known) if against is None else against
    lines = [
        [
            (hertz, None if gain is None else gain - reference)
            for hertz, gain in zip(HERTZ, gains, strict=True)
        ]
        for gains in (then.response_db, now.response_db)
    ]
    title = f"Response then (dashed) and now, against 1 kHz then. {comparison.words}"
    return response_plot(lines[1], title, lines[0])


def gain_by_level(then: Result, now: Result) -> Plot | None:
    """How the gain at 1 kHz changes as the level rises, against that of the softest; None where one of them
    has no curve, or neither bends."""
    if not (then.curve and now.curve):
        return None
    before, after = _bend(then), _bend(now)
    deepest = min(change for _, change in (*before, *after))
    if deepest > -0.5:
        return None
    levels = [level for level, _ in (*before, *after)]
    low = _LEVELS_DB * math.floor(min(levels) / _LEVELS_DB)
    high = _LEVELS_DB * math.ceil(max(levels) / _LEVELS_DB)
    reach = next((each for each in (6, 12, 18, 24) if -deepest <= each), 48)
    return Plot(
        "How much the gain at 1 kHz falls as the level in rises: then (dashed) and now",
        after,
        _axis(range(low, high + 1, _LEVELS_DB), "dBu"),
        _axis(range(-reach, reach // 6 + 1, reach // 3), "dB", high=reach / 6),
        before,
    )


def _bend(result: Result) -> tuple[tuple[float, float], ...]:
    gains = [(level, out - level) for level, out in result.curve]
    return tuple((level, gain - gains[0][1]) for level, gain in gains)


def _axis(lines: range, unit: str, high: float | None = None) -> Axis:
    named = lines[1:] if len(lines) < 5 else lines[1:-1:2]  # the lowest stands at the unit
    labels = tuple((line, format_value(line, unit)) for line in named)
    return Axis(lines[0], lines[-1] if high is None else high, tuple(lines), labels, unit)
