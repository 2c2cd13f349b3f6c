"""What a chain does otherwise than it did: two measurements held against each other, in words.

Both are given with levels in dBu (`in_dbu`). A difference is now less then: above 0 there is more now.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from statistics import median
from typing import Literal

from gear.audio.level_text import level_text
from gear.audio.proving.result import HERTZ, Result
from gear.audio.values import format_value

Key = Literal[
    "polarity", "level", "response", "reduction", "timing", "harmonic", "noise", "hum", "depends"
]

#: How much may differ before it is told, besides the house's tolerance for levels. Ours, no source:
#: more than what measuring twice differs by, less than what is plainly heard.
NOISE_DB, HUM_DB, HARMONIC_DB, TIMING_SHARE = 3.0, 6.0, 3.0, 0.25
#: Distortion below this is told of nobody, dB against the fundamental. Ours, no source.
FAINT_DB = -60.0
#: A difference that grows with the level is told at the lowest that has nearly all of it.
_NEARLY = 0.9


@dataclass(frozen=True)
class Difference:
    """One thing that differs: by how much, and where (Hz, or the level in). Its words fit in a row."""

    key: Key
    words: str
    by: float | None = None
    at: float | None = None


@dataclass(frozen=True)
class Comparison:
    """What differs by more than the tolerance, and where nothing could be compared, in sentences.

    response: pairs of frequency and difference in dB, where both are known, with the level in it.
    """

    tolerance_db: float
    differences: tuple[Difference, ...]
    not_compared: tuple[str, ...]
    response: tuple[tuple[float, float], ...]
    reduction: tuple[tuple[float, float], ...]

    @property
    def agrees(self) -> bool:
        return not self.differences and bool(self.response or self.reduction)

    @property
    def largest_db(self) -> float | None:
        """The largest difference of level at any frequency, or of reduction at any level."""
        known = [abs(by) for _, by in (*self.response, *self.reduction)]
        return max(known, default=None)

    @property
    def words(self) -> str:
        """In one sentence: 1.5 dB low; above 6 kHz 2 dB less; 0.8 dB more reduction at −10.0 dBu."""
        if self.differences:
            said = "; ".join(each.words for each in self.differences)
            return f"{said[0].upper()}{said[1:]}."
        if self.agrees:
            return f"Agrees within {_db(self.tolerance_db)}."
        return "Nothing could be compared."


def compare(then: Result, now: Result, tolerance_db: float) -> Comparison:
    """What differs, the gravest first. tolerance_db: of levels, as the house has it."""
    response = response_difference(then, now)
    reduction = reduction_difference(then, now)
    told = (
        *_polarity(then, now),
        *_response(then, now, response, tolerance_db),
        *_reduction(reduction, tolerance_db),
        *_timings(then, now),
        *_harmonics(then, now),
        *_noise(then, now),
    )
    without = []
    if not response:
        without.append("The response of both is not known at any frequency: it is not compared.")
    if not reduction:
        without.append("The curve of level in and out is not known of both: it is not compared.")
    return Comparison(tolerance_db, told, tuple(without), response, reduction)


def response_difference(then: Result, now: Result) -> tuple[tuple[float, float], ...]:
    """Where both are known: frequency in Hz, and how much louder it is now in dB."""
    pairs = zip(HERTZ, then.response_db, now.response_db, strict=True)
    return tuple(
        (hertz, after - before)
        for hertz, before, after in pairs
        if before is not None and after is not None
    )


def reduction_difference(then: Result, now: Result) -> tuple[tuple[float, float], ...]:
    """Level in as it was measured then, and how much more is taken off it now, in dB, against the
    lowest level that both were measured at."""
    common = [
        (level, out - level, gain_now)
        for level, out in then.curve
        if (gain_now := _gain_at(now.curve, level)) is not None
    ]
    if not common:
        return ()
    _, first_then, first_now = common[0]
    return tuple(
        (level, (first_now - gain_now) - (first_then - gain_then))
        for level, gain_then, gain_now in common
    )


def _gain_at(curve: tuple[tuple[float, float], ...], level: float) -> float | None:
    """By a straight line between two steps; None outside of what was measured."""
    for low, high in zip(curve, curve[1:], strict=False):
        if low[0] - 1e-6 <= level <= high[0] + 1e-6:
            share = (level - low[0]) / (high[0] - low[0])
            return low[1] + share * (high[1] - low[1]) - level
    return None


def _polarity(then: Result, now: Result) -> Iterator[Difference]:
    if then.polarity and now.polarity and then.polarity != now.polarity:
        yield Difference("polarity", "polarity is reversed")


def _response(then, now, difference, tolerance: float) -> Iterator[Difference]:
    """The level in the middle of what differs, then where the rest of it departs from that."""
    if not difference:
        if then.gain_db is not None and now.gain_db is not None:
            yield from _level(now.gain_db - then.gain_db, tolerance)
        if now.depends_on_level and not then.depends_on_level:
            yield Difference("depends", "the response now depends on the level, as it did not")
        return
    offset = median(by for _, by in difference)
    yield from _level(offset, tolerance)
    rest = [(hertz, by - offset) for hertz, by in difference]
    # What falls below the tolerance for a moment is still one part.
    runs = [list(run) for _, run in groupby(rest, key=lambda each: _side(each[1], tolerance / 2))]
    departing = [
        (_place(run, is_first=run is runs[0], is_last=run is runs[-1]), run)
        for run in runs
        if abs(_extreme(run)[1]) > tolerance
    ]
    for (where, hertz), run in sorted(departing, key=lambda each: -abs(_extreme(each[1])[1])):
        by = _extreme(run)[1]
        yield Difference("response", f"{where} {_db(by)} {_more(by)}", by, hertz)


def _level(by: float, tolerance: float) -> Iterator[Difference]:
    if abs(by) > tolerance:
        yield Difference("level", f"{_db(by)} {'high' if by > 0 else 'low'}", by)


def _side(by: float, tolerance: float) -> int:
    return (by > tolerance) - (by < -tolerance)


def _extreme(run) -> tuple[float, float]:
    return max(run, key=lambda each: abs(each[1]))


def _place(run, *, is_first: bool, is_last: bool) -> tuple[str, float]:
    """A part that goes on to the end begins, as a shelf does, where it has half of what it comes to."""
    extreme, by = _extreme(run)
    half = [hertz for hertz, each in run if abs(each) >= abs(by) / 2]
    if is_last:
        return f"above {_hertz(half[0])}", half[0]
    if is_first:
        return f"below {_hertz(half[-1])}", half[-1]
    return f"around {_hertz(extreme)}", extreme


def _reduction(difference, tolerance: float) -> Iterator[Difference]:
    largest = max((abs(by) for _, by in difference), default=0.0)
    if largest > tolerance:
        level, by = next(each for each in difference if abs(each[1]) >= _NEARLY * largest)
        yield Difference(
            "reduction", f"{_db(by)} {_more(by)} reduction at {level_text(level)}", by, level
        )


def _timings(then: Result, now: Result) -> Iterator[Difference]:
    before = {each.hertz: each for each in then.timings}
    for after in now.timings:
        if earlier := before.get(after.hertz):
            for name in ("attack", "release"):
                was, is_now = (getattr(each, f"{name}_ms") for each in (earlier, after))
                if was and is_now and max(was, is_now) / min(was, is_now) > 1 + TIMING_SHARE:
                    said = f"{name} {_ms(is_now)} at {_hertz(after.hertz)}, it was {_ms(was)}"
                    yield Difference("timing", said, is_now - was, after.hertz)


def _harmonics(then: Result, now: Result) -> Iterator[Difference]:
    """Each at the level at which it differs most, where either is more than faint."""
    for name in ("second", "third"):
        before = {round(each.in_dbfs, 1): getattr(each, f"{name}_db") for each in then.harmonics}
        found = []
        for each in now.harmonics:
            was, is_now = before.get(round(each.in_dbfs, 1)), getattr(each, f"{name}_db")
            if was is not None and is_now is not None and max(was, is_now) > FAINT_DB:
                found.append((max(is_now, FAINT_DB) - max(was, FAINT_DB), each.in_dbfs))
        by, level = max(found, key=lambda pair: abs(pair[0]), default=(0.0, 0.0))
        if abs(by) > HARMONIC_DB:
            said = f"{name} harmonic {_db(by)} {_more(by)} at {level_text(level)}"
            yield Difference("harmonic", said, by, level)


def _noise(then: Result, now: Result) -> Iterator[Difference]:
    by = now.noise_a_dbfs - then.noise_a_dbfs
    if abs(by) > NOISE_DB:
        yield Difference("noise", f"{_db(by)} {_more(by)} noise (A-weighted)", by)
    before = dict(then.hum)
    grown = [
        (level - max(before.get(hertz, then.noise_dbfs), then.noise_dbfs), hertz)
        for hertz, level in now.hum
    ]
    by, hertz = max(grown, default=(0.0, 0.0))
    if by > HUM_DB:
        yield Difference("hum", f"{_db(by)} more hum at {_hertz(hertz)}", by, hertz)


def _more(by: float) -> str:
    return "more" if by > 0 else "less"


def _db(by: float) -> str:
    return format_value(round(abs(by), 1), "dB", signed=False)


def _ms(milliseconds: float) -> str:
    return f"{milliseconds:.2g} ms" if milliseconds < 100 else f"{milliseconds:.0f} ms"


def _hertz(hertz: float) -> str:
    """In two figures, as an ear would tell it."""
    return format_value(float(f"{hertz:.2g}"), "Hz")
