"""Whether each part of a return stands where the clock has it: samples that are missing, or too many."""

import math
from itertools import pairwise

import numpy as np

from gear.audio.proving.aligning import Alignment, turn_and_doubt
from gear.audio.proving.plan import STAIR_S, STAIRS_DB, TONE_HZ, Plan, Section
from gear.audio.proving.response import Swept
from gear.audio.proving.result import HERTZ, NotMeasured
from gear.audio.proving.signal import sweep_reaches_s

#: A part that stands so far from where the clock of the tones has it was moved.
MOVED_S = 15e-6
_SURE, _MOST_LOST = 5.0, 4800
_READ_HZ = 100.0, 16_000.0


def check_places(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> NotMeasured | None:
    """Each part has to stand where the clock of the two tones has it. Raises NotMeasured where samples that are
    missing or doubled explain why one doesn't; gives it where they don't, so that gaps may be looked for first."""
    by_tonic = _by_tonic(plan, alignment, samples, swept)
    by_sweeps = _by_sweeps(plan, alignment, swept)
    wrong = [
        begin
        for begin, by_s, doubt_s in by_tonic + by_sweeps
        if abs(by_s) > MOVED_S + _SURE * doubt_s
    ]
    if not wrong:
        return None
    second, lost, left = _what_is_lost(plan, alignment, by_tonic, by_sweeps)
    if not lost or left > MOVED_S:
        return disturbed(alignment.sample_at(min(wrong)) / alignment.rate_hz)
    raise NotMeasured(
        "dropout",
        f"After {alignment.sample_at(second) / alignment.rate_hz:.0f} s about {abs(lost)} samples are "
        f"{'missing' if lost > 0 else 'too many'} in the recording. Record it again, with a larger buffer, and "
        "play and record by one clock.",
    )


def _by_tonic(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> list[tuple[float, float, float]]:
    """By the phase of 1 kHz: when, how many seconds late, and how far noise lets that be off. A millisecond is a
    whole turn of it, and isn't seen."""
    first, first_doubt = turn_and_doubt(alignment, samples, plan.of("tone")[0])
    tonic, stairs = HERTZ.index(TONE_HZ), plan.of("staircase")[0]
    turns = [
        (
            sweep.start_s + sweep_reaches_s(TONE_HZ),
            np.angle(each.response[tonic])
            - 2 * math.pi * TONE_HZ * each.centre / alignment.rate_hz,
            each.uncertain_db[tonic] * math.log(10) / 20,
        )
        for sweep, each in zip(plan.of("sweep"), swept, strict=True)
    ]
    for number in range(len(STAIRS_DB)):
        stair = Section("tone", stairs.start_s + number * STAIR_S, STAIR_S, TONE_HZ)
        middle = stair.start_s + STAIR_S / 2
        turns.append((middle, *turn_and_doubt(alignment, samples, stair)))
    whole = 2 * math.pi * TONE_HZ
    return [
        (begin, math.remainder(first - phase, 2 * math.pi) / whole, (doubt + first_doubt) / whole)
        for begin, phase, doubt in turns
    ]


def _by_sweeps(
    plan: Plan, alignment: Alignment, swept: list[Swept]
) -> list[tuple[float, float, float]]:
    """Each sweep by the one before, by all of their phases, so that no millisecond is lost."""
    rate = alignment.rate_hz
    return [
        (
            sweep.start_s + sweep_reaches_s(_READ_HZ[1]),
            *(samples / rate for samples in later_by(one, other, rate)),
        )
        for sweep, (one, other) in zip(plan.of("sweep")[1:], pairwise(swept), strict=True)
    ]


def later_by(one: Swept, other: Swept, rate_hz: float) -> tuple[float, float]:
    """By how many samples the other sweep came later than this one, against the clock, and how far noise lets
    that be off."""
    hertz = np.array(HERTZ)
    read = (hertz >= _READ_HZ[0]) & (hertz <= _READ_HZ[1])
    hertz, turned = hertz[read], (other.response * np.conj(one.response))[read]
    doubt = np.hypot(one.uncertain_db, other.uncertain_db)[read] * math.log(10) / 20
    # How the phase falls from each frequency to the next, so that no turn is lost; what is clear counts most.
    steps, apart = np.angle(turned[1:] * np.conj(turned[:-1])), np.diff(hertz)
    weight = 1 / (doubt[1:] ** 2 + doubt[:-1] ** 2 + 1e-6)
    total = np.sum(weight * apart**2)
    slope = np.sum(weight * steps * apart) / total
    samples = rate_hz / (2 * math.pi)
    return other.centre - one.centre - slope * samples, samples / math.sqrt(total)


def _what_is_lost(
    plan: Plan, alignment: Alignment, by_tonic: list, by_sweeps: list
) -> tuple[float, int, float]:
    """After which second how many samples (fewer than none: too many) have to be missing for the parts to
    stand where they stand, and how many seconds a part is still off (median)."""
    first, last = (tone.start_s + tone.length_s / 2 for tone in plan.of("tone"))
    begins, late = (np.array([each[column] for each in by_tonic + by_sweeps]) for column in (0, 1))
    one_sweep = plan.of("sweep")[1].start_s - plan.of("sweep")[0].start_s
    before = np.array([first] * len(by_tonic) + [begin - one_sweep for begin, *_ in by_sweeps])
    turns = np.arange(begins.size) < len(by_tonic)
    lost = np.arange(-_MOST_LOST, _MOST_LOST + 1)
    best = math.inf, 0.0, 0, 0.0
    for cut in [*sorted(set(begins)), last]:
        # The tones took the clock for slower by what is missing between them.
        share = (begins - before) / (last - first) - ((begins >= cut) & (before < cut))
        off = lost[:, None] / alignment.rate_hz * share - late
        off = np.abs(np.where(turns, off - np.round(off * TONE_HZ) / TONE_HZ, off))
        worth = np.minimum(off, 20 * MOVED_S).sum(axis=1)
        at = int(worth.argmin())
        if worth[at] < best[0]:
            best = float(worth[at]), cut, int(lost[at]), float(np.median(off[at]))
    return max([first, *begins[begins < best[1]]]), best[2], best[3]


def disturbed(at_s: float) -> NotMeasured:
    """For a recording that isn't what the chain makes of the file from here on."""
    return NotMeasured(
        "disturbed",
        f"From {at_s:.0f} s on something else sounds in the recording, or its speed wavers. Look what else goes into "
        "that channel, and record it again.",
    )
