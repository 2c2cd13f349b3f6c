"""A place in a song as it is called out, `bar 17, beat 3` or `1:23.5`, and what it is in the other."""

import re
from dataclasses import dataclass
from fractions import Fraction

from django.core.exceptions import ValidationError

from gear.audio.tempo import Timeline

EXAMPLE = "bar 17, bar 17 beat 3, or 1:23.5"
_BAR = re.compile(
    r"(?:bar\s*)?(\d{1,4})(?:(?:\s*[,|]\s*(?:beat\s*)?|\s+beat\s*)(\d{1,2}(?:\.\d{1,3})?))?"
)
_TIME = re.compile(r"(\d{1,3}):([0-5]\d(?:\.\d{1,3})?)")


@dataclass(frozen=True)
class Place:
    """Bar and beat, or seconds from bar 1 on: what was typed; the other is computed."""

    bar: int | None = None
    beat: Fraction = Fraction(1)
    seconds: Fraction | None = None

    def __str__(self) -> str:
        if self.seconds is not None:
            return _time_text(self.seconds)
        beat = f", beat {round(float(self.beat), 2):g}" if self.beat != 1 else ""
        before = 1 - self.bar
        if before > 0:
            return f"{before} bar{'s' if before > 1 else ''} before bar 1{beat}"
        return f"bar {self.bar}{beat}"

    def at(self, timeline: Timeline | None) -> Fraction | None:
        """In seconds; None where the song has no tempo or no time signature. Raises ValueError for a
        beat that the bar has not."""
        if self.seconds is not None:
            return self.seconds
        return timeline.seconds(self.bar, self.beat) if timeline else None

    def compared(self, timeline: Timeline | None) -> tuple:
        """As places are put in order: by bar, or where it has none by time. The unit comes first, since
        a place in the one can't be compared with one in the other."""
        bar = self.bar_at(timeline)
        return ("bar", *bar) if bar else ("time", self.seconds, 1)

    def bar_at(self, timeline: Timeline | None) -> tuple[int, Fraction] | None:
        if self.bar is not None:
            return self.bar, self.beat
        return timeline.position(self.seconds) if timeline else None


def read_place(text: str) -> Place:
    """Raises ValidationError with a sentence for the user."""
    typed = text.strip().casefold()
    if time := _TIME.fullmatch(typed):
        return Place(seconds=int(time[1]) * 60 + Fraction(time[2]))
    bar = _BAR.fullmatch(typed)
    if not bar or bar[1] == "0":
        raise ValidationError(f"“{text}” is not a place in the song: write {EXAMPLE}.")
    return Place(bar=int(bar[1]), beat=Fraction(bar[2] or 1))


def place_text(text: str, timeline: Timeline | None) -> str:
    """A stored place with what it is in the other: `bar 21 (0:54.8)`, `1:23.5 (bar 33, beat 2.5)`."""
    place = read_place(text)
    if timeline is None:
        return str(place)
    if place.seconds is not None:
        return f"{place} ({Place(*place.bar_at(timeline))})"
    try:
        return f"{place} ({_time_text(place.at(timeline))})"
    except ValueError:  # the song's time signature was another when this was called out
        return str(place)


def check_points(song, punch_in: str, punch_out: str) -> None:
    """That a stored place to go in and one to go out (may be empty: the song's end) lie in the song,
    in order. Raises ValidationError by field. Bars and times are compared where the song has a
    tempo and a time signature."""
    timeline, seconds = song.timeline, {}
    for name, text in (("punch_in", punch_in), ("punch_out", punch_out)):
        if not text:
            continue
        place = read_place(text)
        try:
            seconds[name] = place.at(timeline)
        except ValueError as error:
            raise ValidationError({name: f"{place} is not in the song: {error}."}) from None
        bar, end = place.bar_at(timeline), ((song.last_bar or 0) + 1, 1)
        # Out at the end of the last bar is where the next one would begin.
        if song.last_bar and bar and (bar > end or (name == "punch_in" and bar == end)):
            raise ValidationError(
                {name: f"The song ends with bar {song.last_bar}: {place} lies behind it."}
            )
    if punch_out and _is_behind(read_place(punch_in), read_place(punch_out), seconds):
        raise ValidationError({"punch_out": f"Out comes after in: put it behind {punch_in}."})


def _is_behind(begins: Place, ends: Place, seconds: dict) -> bool:
    """Whether the end is not after the beginning; False where the two can't be compared."""
    if None not in seconds.values():
        return seconds["punch_out"] <= seconds["punch_in"]
    if begins.bar and ends.bar:
        return (ends.bar, ends.beat) <= (begins.bar, begins.beat)
    return False


def _time_text(seconds: Fraction) -> str:
    tenths = round(seconds * 10)
    sign = "−" if tenths < 0 else ""
    minutes, tenths = divmod(abs(tenths), 600)
    return f"{sign}{minutes}:{tenths // 10:02d}" + (f".{tenths % 10}" if tenths % 10 else "")
