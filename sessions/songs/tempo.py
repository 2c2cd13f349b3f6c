"""A song's tempo map and meters as they are typed, `1: 96, 33: 104` (bar: quarter notes a minute) and
`4/4` or `1: 4/4, 17: 3/4`, and as stored."""

import re
from itertools import pairwise

from django.core.exceptions import ValidationError

from gear.audio.tempo import Meter

EXAMPLE = "1: 96, 33: 104"
METER_EXAMPLE = "1: 4/4, 17: 3/4"

# From memory: metronomes end at 208, and fast counts in use stay well below this.
FASTEST_BPM = 400


def read_tempo(text: str) -> list[dict]:
    """The stored tempo map, `[{"bar": 1, "bpm": 96}]`, of a typed one; empty for no text.

    A figure alone is the tempo from bar 1 on. Raises ValidationError with a sentence for the user.
    """
    changes = [_read_entry(entry) for entry in _entries(text)]
    _refuse_out_of_order([change["bar"] for change in changes], "tempo", EXAMPLE)
    return changes


def read_meters(text: str) -> list[tuple[int, Meter]]:
    """The meters of a typed text, each from a bar on; one alone is that from bar 1 on.

    Raises ValidationError with a sentence for the user.
    """
    meters = [_read_meter(entry) for entry in _entries(text)]
    _refuse_out_of_order([bar for bar, _meter in meters], "time signature", METER_EXAMPLE)
    return meters


def meters_text(meters: list[tuple[int, Meter]]) -> str:
    """As it is typed, and stored."""
    if len(meters) == 1:
        return f"{meters[0][1].beats}/{meters[0][1].note}"
    return ", ".join(f"{bar}: {meter.beats}/{meter.note}" for bar, meter in meters)


def tempo_text(tempo_map: list[dict]) -> str:
    """A stored tempo map as it is typed."""
    return ", ".join(f"{change['bar']}: {change['bpm']:g}" for change in tempo_map)


def _entries(text: str) -> list[str]:
    """`bar: what`, each; a lone one without its bar is that of bar 1."""
    entries = [entry.strip() for entry in re.split(r"[,;\n]", text) if entry.strip()]
    is_alone = len(entries) == 1 and re.fullmatch(r"[\d./]+", entries[0])
    return [f"1: {entries[0]}"] if is_alone else entries


def _refuse_out_of_order(bars: list[int], what: str, example: str) -> None:
    if bars and bars[0] != 1:
        raise ValidationError(f"The {what} of bar 1 is missing: begin with it, as in {example}.")
    for before, bar in pairwise(bars):
        if bar <= before:
            raise ValidationError(
                f"Bar {bar} comes after bar {before}: put the bars in order, each once."
            )


def _read_meter(entry: str) -> tuple[int, Meter]:
    match = re.fullmatch(r"(\d{1,4})\s*:\s*([1-9]\d?)\s*/\s*(1|2|4|8|16|32)", entry)
    if not match:
        raise ValidationError(
            f"“{entry.removeprefix('1: ')}” is not a time signature: write beats over note value, such as 4/4, "
            f"6/8 or 7/8; where it changes, with the bars: {METER_EXAMPLE}."
        )
    return int(match[1]), Meter(int(match[2]), int(match[3]))


def _read_entry(entry: str) -> dict:
    match = re.fullmatch(r"(\d{1,4})\s*:\s*(\d{1,3}(?:\.\d{1,3})?)", entry)
    if not match:
        raise ValidationError(
            f"“{entry}” is not a bar and its beats per minute: write them as in {EXAMPLE}."
        )
    bpm = float(match[2])
    if not 0 < bpm <= FASTEST_BPM:
        raise ValidationError(f"{match[2]} beats per minute is out of range: 1 to {FASTEST_BPM}.")
    return {"bar": int(match[1]), "bpm": int(bpm) if bpm.is_integer() else bpm}
