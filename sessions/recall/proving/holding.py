"""Two measurements held against each other, whatever their depths."""

from collections.abc import Sequence

from gear.audio.level_text import level_text
from gear.audio.proving.comparing import Comparison, compare
from gear.audio.proving.result import Result
from gear.audio.proving.three_tones.tone import Tone, compare_tones, tones_of
from sessions.recall.proving.models import Measurement

#: So far the gain may stray before it counts as another, and a level be above. Ours, no source.
STRAIGHT_DB = 0.25


def hold_against(then: Measurement, now: Measurement, *, tolerance_db: float) -> Comparison:
    """What the second does otherwise than the first; both are done. Where one is by three tones only, the
    other is asked at those."""
    before, after = then.found_in_dbu, now.found_in_dbu
    if before and after:
        return compare(before, after, tolerance_db)
    if before:
        return tones_against_full(before, now.tones_read, tolerance_db)
    if after:
        return tones_against_full(after, then.tones_read, tolerance_db, full_is_then=False)
    return compare_tones(then.tones_read, now.tones_read, tolerance_db)


def tones_against_full(
    full: Result, tones: Sequence[Tone], tolerance_db: float, *, full_is_then: bool = True
) -> Comparison:
    """By the response of a full one (levels in dBu), which says nothing of tones that are louder than the chain
    is straight: a compressor holds those down."""
    straight, sent = straight_up_to(full), tones[0].sent_dbu
    if straight is not None and sent > straight + STRAIGHT_DB:
        why = (
            f"The tones were sent at {level_text(sent)}, but by the full measurement the gain changes above "
            f"{level_text(straight)}: send them no louder than that."
        )
        return Comparison(tolerance_db, (), (why,), (), ())
    asked = tones_of(full, [tone.hertz for tone in tones], sent_dbu=sent)
    return compare_tones(*((asked, tones) if full_is_then else (tones, asked)), tolerance_db)


def straight_up_to(full: Result) -> float | None:
    """The loudest step at which the gain at 1 kHz still is what it is when soft; None where that isn't known."""
    if full.gain_db is None:
        return None
    straight = (
        level_in
        for level_in, out in full.curve
        if abs(out - level_in - full.gain_db) <= STRAIGHT_DB
    )
    return max(straight, default=None)
