"""A song's tempo map as it is typed, `1: 96, 33: 104` (bar: beats per minute), and as stored."""

import re

from django.core.exceptions import ValidationError

EXAMPLE = "1: 96, 33: 104"

# From memory: metronomes end at 208, and fast counts in use stay well below this.
FASTEST_BPM = 400


def read_tempo(text: str) -> list[dict]:
    """The stored tempo map, `[{"bar": 1, "bpm": 96}]`, of a typed one; empty for no text.

    A figure alone is the tempo from bar 1 on. Raises ValidationError with a sentence for the user.
    """
    entries = [entry.strip() for entry in re.split(r"[,;\n]", text) if entry.strip()]
    if len(entries) == 1 and re.fullmatch(r"[\d.]+", entries[0]):
        entries = [f"1: {entries[0]}"]
    changes = [_read_entry(entry) for entry in entries]
    bars = [change["bar"] for change in changes]
    if bars and bars[0] != 1:
        raise ValidationError(f"The tempo of bar 1 is missing: begin with it, as in {EXAMPLE}.")
    for before, bar in zip(bars, bars[1:], strict=False):
        if bar <= before:
            raise ValidationError(
                f"Bar {bar} stands after bar {before}: put the bars in order, each once."
            )
    return changes


def tempo_text(tempo_map: list[dict]) -> str:
    """A stored tempo map as it is typed."""
    return ", ".join(f"{change['bar']}: {change['bpm']:g}" for change in tempo_map)


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
