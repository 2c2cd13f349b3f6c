"""Two measurements held against each other, whatever their depths."""

from collections.abc import Sequence

from gear.audio.proving.comparing import Comparison, compare
from gear.audio.proving.three_tones.tone import Tone, compare_tones, tones_of
from sessions.recall.proving.models import Measurement


def hold_against(then: Measurement, now: Measurement, *, tolerance_db: float) -> Comparison:
    """What the second does otherwise than the first; both are done. Where one is by three tones only, the
    other is asked at those."""
    if then.found_in_dbu and now.found_in_dbu:
        return compare(then.found_in_dbu, now.found_in_dbu, tolerance_db)
    return compare_tones(_tones(then, now), _tones(now, then), tolerance_db)


def _tones(asked: Measurement, other: Measurement) -> Sequence[Tone]:
    if asked.found_in_dbu is None:
        return asked.tones_read
    hertz = [tone.hertz for tone in other.tones_read]
    return tones_of(asked.found_in_dbu, hertz, sent_dbu=other.tones_read[0].sent_dbu)
