"""Bars and beats to seconds and back, over a song's changes of tempo and meter.

Tempo counts quarter notes a minute whatever the meter, as in a standard MIDI file (meta event
FF 51 03 gives microseconds per quarter note); beats are those of the meter: six eighths in 6/8.
Changes stand at the beginning of a bar. Bar 1, beat 1 is 0 s; bars below 1 are those before the
song begins and go on backwards from it.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Meter:
    """So many beats a bar, each a `note`th of a whole note: 6, 8."""

    beats: int
    note: int


@dataclass(frozen=True)
class _Stretch:
    """Bars of one tempo and one meter; `begins` in seconds."""

    bar: int
    begins: Fraction
    meter: Meter
    beat_seconds: Fraction

    @property
    def bar_seconds(self) -> Fraction:
        return self.beat_seconds * self.meter.beats


class Timeline:
    """Where bars and beats of a song lie in time.

    tempos: (bar, quarter notes a minute) in order, the first at bar 1; meters: (bar, Meter),
    likewise.
    """

    def __init__(
        self, tempos: Sequence[tuple[int, float]], meters: Sequence[tuple[int, Meter]]
    ) -> None:
        tempo_at, meter_at = dict(tempos), dict(meters)
        self._stretches: list[_Stretch] = []
        bpm, meter, before = Fraction(0), Meter(4, 4), None
        for bar in sorted({*tempo_at, *meter_at}):
            bpm = Fraction(str(tempo_at[bar])) if bar in tempo_at else bpm
            meter = meter_at.get(bar, meter)
            begins = before.begins + (bar - before.bar) * before.bar_seconds if before else 0
            before = _Stretch(bar, Fraction(begins), meter, 60 / bpm * Fraction(4, meter.note))
            self._stretches.append(before)

    def seconds(self, bar: int, beat: float | Fraction = 1) -> Fraction:
        """The time at which a beat of a bar begins; 3.5 is half way from beat 3 to beat 4.

        Raises ValueError for a beat that the bar has not.
        """
        stretch = self._stretch(bar, [each.bar for each in self._stretches])
        if not 1 <= beat < stretch.meter.beats + 1:
            raise ValueError(f"bar {bar} has beats 1 to {stretch.meter.beats}")
        bars = (bar - stretch.bar) * stretch.bar_seconds
        return stretch.begins + bars + (Fraction(beat) - 1) * stretch.beat_seconds

    def position(self, seconds: float | Fraction) -> tuple[int, Fraction]:
        """The bar and the beat, with its fraction, that a time falls in: the inverse of seconds."""
        seconds = Fraction(seconds)
        stretch = self._stretch(seconds, [each.begins for each in self._stretches])
        bars, into_bar = divmod(seconds - stretch.begins, stretch.bar_seconds)
        return stretch.bar + bars, into_bar / stretch.beat_seconds + 1

    def _stretch(self, place, edges: list) -> _Stretch:
        return self._stretches[max(bisect_right(edges, place) - 1, 0)]
