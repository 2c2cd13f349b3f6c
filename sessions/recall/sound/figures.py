"""What a measurement found, in words: six figures, which sheets, rebuilds and its own page tell alike, or its three
tones; and the small plot of a sheet."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gear.audio.level_text import level_text
from gear.audio.numbers import MINUS
from gear.audio.proving.result import Compression, Harmonics, Result, Timing
from gear.audio.proving.three_tones.tone import Tone
from gear.audio.values import format_value
from gear.panels.plot import Plot, response_plot
from sessions.recall.sound.measured import Measured

DEPENDS = "The response depends on the level."
NOT_TOLD = "can’t be told"
#: Harmonics are told of the step of the staircase that is nearest to this level below the ceiling.
HARMONICS_BELOW_DB = 10.0
#: A ratio above this is told as a limiter’s. Ours, no source.
LIMITS_FROM = 20.0
#: Where the plot's words say what the response is.
SPOKEN_HZ = (100.0, 10_000.0)


@dataclass(frozen=True)
class Figure:
    """`detail`: what the value holds for, in smaller letters."""

    name: str
    value: str
    detail: str = ""


def figures_of(measured: Measured) -> tuple[Figure, ...]:
    if not measured.is_full:
        return tuple(map(_tone, measured.tones))
    return six_figures(
        measured.in_dbu, measured.fed_dbu, is_cable_taken_off=measured.cable_taken_off
    )


def six_figures(
    found: Result, ceiling_dbu: float, *, is_cable_taken_off: bool
) -> tuple[Figure, ...]:
    """found: with levels in dBu (see `in_dbu`). ceiling_dbu: what the test file's is where it is fed in."""
    return (
        _gain(found),
        _compression(found),
        _timing(found),
        _harmonics(found, ceiling_dbu),
        Figure(
            "Noise", level_text(found.noise_dbfs), f"A-weighted {level_text(found.noise_a_dbfs)}"
        ),
        _latency(found, is_cable_taken_off=is_cable_taken_off),
    )


def plot_of(measured: Measured, of_what: str) -> Plot | None:
    """The response against 1 kHz; None where it is not known, and for three tones."""
    response = measured.result.against_1_khz if measured.is_full else ()
    if not response:
        return None
    said = "; ".join(_spoken(response))
    return response_plot(response, f"Measured response of {of_what} against 1 kHz: {said}")


def _spoken(response: Sequence[tuple[float, float | None]]) -> Iterator[str]:
    for hertz in SPOKEN_HZ:
        _, gain = min(response, key=lambda point: abs(point[0] - hertz))
        yield f"{NOT_TOLD if gain is None else decibels(gain)} at {format_value(hertz, 'Hz')}"


def _tone(tone: Tone) -> Figure:
    name = f"At {format_value(tone.hertz, 'Hz')}"
    if tone.read_dbu is None:
        return Figure(name, "nothing read", f"{level_text(tone.sent_dbu)} in")
    levels = f"{level_text(tone.sent_dbu)} in, {level_text(tone.read_dbu)} out"
    return Figure(name, decibels(tone.gain_db), levels)


def _gain(found: Result) -> Figure:
    why_not = f". {reason}" if (reason := found.cannot_tell.get("polarity")) else ""
    polarity = {1: "normal", -1: "reversed", None: f"{NOT_TOLD}{why_not}"}[found.polarity]
    gain = NOT_TOLD if found.gain_db is None else decibels(found.gain_db)
    return Figure("Gain at 1 kHz", gain, f"polarity {polarity}")


def _compression(found: Result) -> Figure:
    held = found.compression
    if held is None:
        return Figure("Compression", NOT_TOLD, found.cannot_tell.get("compression", ""))
    knee = f"knee {held.knee_db:.1f} dB" if held.knee_db >= 0.5 else "hard knee"
    return Figure("Compression", compression_text(held), knee)


def compression_text(held: Compression) -> str:
    """What limits has no ratio."""
    ratio = "∞" if held.ratio > LIMITS_FROM else f"{held.ratio:.3g}"
    return f"{ratio}:1 above {level_text(held.threshold_dbfs)} in"


def _timing(found: Result) -> Figure:
    told = timings_told(found)
    if not told:
        return Figure("Attack, release", NOT_TOLD, found.cannot_tell.get("timings", ""))
    return timing_figure(told[0])


def timings_told(found: Result) -> list[Timing]:
    return [each for each in found.timings if each.attack_ms or each.release_ms]


def timing_figure(timing: Timing) -> Figure:
    both = (timing.attack_ms, timing.release_ms)
    words = ", ".join(NOT_TOLD if each is None else milliseconds(each) for each in both)
    return Figure("Attack, release", words, f"at {format_value(timing.hertz, 'Hz')}")


def _harmonics(found: Result, ceiling_dbu: float) -> Figure:
    wanted = ceiling_dbu - HARMONICS_BELOW_DB
    nearest: Harmonics | None = min(
        found.harmonics, key=lambda each: abs(each.in_dbfs - wanted), default=None
    )
    if nearest is None:
        return Figure("Harmonics", NOT_TOLD)
    pairs = (("2nd", nearest.second_db), ("3rd", nearest.third_db))
    words = ", ".join(
        f"{name} {NOT_TOLD if level is None else decibels(level)}" for name, level in pairs
    )
    return Figure("Harmonics", words, f"at {level_text(nearest.in_dbfs)} in")


def _latency(found: Result, *, is_cable_taken_off: bool) -> Figure:
    samples = f"{found.latency_samples:,.1f}".replace("-", MINUS)
    of_what = "cable taken off" if is_cable_taken_off else "converters included"
    return Figure("Latency", f"{samples} samples at {format_value(found.rate_hz, 'Hz')}", of_what)


def decibels(level: float) -> str:
    """To a tenth, with its sign."""
    return f"{level:+.1f} dB".replace("-", MINUS)


def milliseconds(time: float) -> str:
    return format_value(float(f"{time:.2g}") if time < 100 else round(time), "ms")
