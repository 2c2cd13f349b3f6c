"""What a full measurement found, as its own page tells it. Levels are dBu, as `found_in_dbu` has them."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from gear.audio.level_text import level_text
from gear.audio.numbers import MINUS
from gear.audio.proving.result import HERTZ, Harmonics, Result
from gear.audio.values import format_value
from sessions.recall.sound.figures import (
    NOT_TOLD,
    Figure,
    compression_text,
    decibels,
    six_figures,
    timing_figure,
    timings_told,
)

EDGE_DB = 3.0
#: What is called flat. Ours, no source.
FLAT_DB = 0.5


@dataclass(frozen=True)
class Words:
    """found: with levels in dBu. ceiling_dbu: what the test file's is where it was fed in."""

    found: Result
    ceiling_dbu: float
    is_cable_taken_off: bool = False

    @property
    def figures(self) -> list[Figure]:
        """The six of a sheet, and what only this page has room for."""
        gain, compression, timing, *others = six_figures(
            self.found, self.ceiling_dbu, is_cable_taken_off=self.is_cable_taken_off
        )
        timings = [timing, *map(timing_figure, timings_told(self.found)[1:])]
        return [gain, self._response_figure(), compression, *timings, *others, *self._further()]

    @property
    def in_short(self) -> str:
        """Gain, response and what compresses, in a line."""
        gain = self.found.gain_db
        told = f"gain {NOT_TOLD}" if gain is None else f"{decibels(gain)} at 1 kHz"
        said = [told, response_text(self.found)]
        if self.found.compression:
            said.append(f"compresses {compression_text(self.found.compression)}")
        return "; ".join(said)

    @property
    def by_level(self) -> list[tuple[str, str, Harmonics | None]]:
        """Each step of the staircase: level in, level out, and its harmonics."""
        harmonics = {round(each.in_dbfs, 1): each for each in self.found.harmonics}
        return [
            (
                _figure(level_in, "+.1f"),
                _figure(level_out, "+.2f"),
                harmonics.get(round(level_in, 1)),
            )
            for level_in, level_out in self.found.curve
        ]

    def _response_figure(self) -> Figure:
        response = response_text(self.found)
        why_not = self.found.cannot_tell.get("response_db")
        return Figure("Response", response[0].upper() + response[1:], why_not or "against 1 kHz")

    def _further(self) -> Iterator[Figure]:
        found = self.found
        if found.hum:
            hertz, level = max(found.hum, key=lambda each: each[1])
            yield Figure("Hum", f"{level_text(level)} at {hertz_text(hertz)}", "its loudest part")
        yield Figure(
            "Signal to noise", f"{found.signal_to_noise_db:.0f} dB", "the tone against the noise"
        )
        yield Figure("Clock", f"{_figure(found.clock_ppm, '+.2f')} ppm", "of the recording")


def response_text(found: Result) -> str:
    """Flat, or where it is 3 dB down, and where it departs most."""
    if found.depends_on_level:
        return "response depends on the level"
    shape = relative_response(found)
    if not shape:
        return f"response {NOT_TOLD}"
    most = max(shape, key=lambda each: abs(each[1]))
    if abs(most[1]) <= FLAT_DB:
        return f"flat within ±{abs(most[1]):.1f} dB from 20 Hz to 20 kHz"
    low, high = _edges(shape)
    edges = [hertz_text(hertz) for hertz in (low, high) if hertz]
    inside = [each for each in shape if (low or 0) <= each[0] <= (high or HERTZ[-1])]
    most = max(inside, key=lambda each: abs(each[1]))
    said = [f"{MINUS}3 dB at {' and '.join(edges)}"] if edges else []
    if abs(most[1]) > FLAT_DB and abs(abs(most[1]) - EDGE_DB) > FLAT_DB:
        said.append(f"{decibels(most[1])} at {hertz_text(most[0])}")
    return ", ".join(said) or f"{decibels(most[1])} at {hertz_text(most[0])}"


def relative_response(found: Result) -> list[tuple[float, float]]:
    """Where it is known: frequency and gain against that at 1 kHz; empty where that is not known."""
    return [(hertz, gain) for hertz, gain in found.against_1_khz if gain is not None]


def _edges(shape: list[tuple[float, float]]) -> tuple[float | None, float | None]:
    """The nearest to 1 kHz at which it has fallen by 3 dB, below and above; None where it has not."""
    return (
        _edge([each for each in reversed(shape) if each[0] <= 1000]),
        _edge([each for each in shape if each[0] >= 1000]),
    )


def _edge(outwards: list[tuple[float, float]]) -> float | None:
    """Between the two points that it lies between."""
    for (near, before), (far, gain) in pairwise(outwards):
        if gain <= -EDGE_DB < before:
            return near * (far / near) ** ((before + EDGE_DB) / (before - gain))
    return None


def hertz_text(hertz: float) -> str:
    """In two figures, as an ear would tell it."""
    return format_value(float(f"{hertz:.2g}"), "Hz")


def _figure(value: float, form: str) -> str:
    return format(value, form).replace("-", MINUS)
