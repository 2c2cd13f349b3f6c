"""A measurement as a sheet prints it."""

from collections.abc import Iterator
from dataclasses import dataclass

from gear.audio.level_text import level_text
from gear.audio.values import format_value
from gear.panels.plot import Plot
from sessions.recall.sound.figures import DEPENDS, Figure, figures_of, plot_of
from sessions.recall.sound.measured import Measured

NOT_COVERED = (
    "Measured from where the test signal is fed in: microphone, placement and room are not covered."
)
CHANGED = "A unit was set otherwise after it."


@dataclass(frozen=True)
class Sound:
    """`how`: fed in how, in a few words; `notes`: what to know beside the figures, in sentences."""

    measured: Measured
    plot: Plot | None
    figures: tuple[Figure, ...]
    how: str
    notes: tuple[str, ...]


def sound_of(measured: Measured, of_what: str) -> Sound:
    return Sound(
        measured,
        plot_of(measured, of_what),
        figures_of(measured),
        _how(measured),
        (*_notes(measured), NOT_COVERED),
    )


def _how(measured: Measured) -> str:
    if not measured.is_full:
        return "tones"
    rate, fed = format_value(measured.result.rate_hz, "Hz"), level_text(measured.fed_dbu)
    pad = f", pad of {format_value(measured.pad_db, 'dB', signed=False)}" if measured.pad_db else ""
    return f"test file at {rate}, up to {fed} at the injection point{pad}"


def _notes(measured: Measured) -> Iterator[str]:
    if measured.is_full:
        if measured.result.depends_on_level:
            yield DEPENDS
        yield from (fault.sentence for fault in measured.result.faults)
    yield from dict.fromkeys(sentence for tone in measured.tones for sentence in tone.said)
    if measured.note:
        yield measured.note
    if measured.changed_since:
        yield CHANGED
