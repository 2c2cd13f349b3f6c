"""Where a recording is broken: samples that are missing or too many, gaps, crackles."""

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from gear.audio.proving.aligning import Alignment, turn_and_doubt
from gear.audio.proving.plan import BURST_S, STAIR_S, STAIRS_DB, TONE_HZ, Plan, Section
from gear.audio.proving.response import Swept
from gear.audio.proving.result import HERTZ, Fault, NotMeasured
from gear.audio.proving.signal import sweep_reaches_s

#: A part of the return that stands so far from where the clock of the tones has it was moved.
MOVED_S = 15e-6
_SURE, _MOST_LOST = 5.0, 4800
#: So many blocks over so long a time are no gap but something else that sounds.
_MANY, _LONG_S = 40, 0.4
#: What comes in between, against the sound itself: above the first it is a gap, above the second a crackle.
GAP_DB, CRACKLE_DB = -30.0, -55.0
_BLOCK_S = 0.001
#: By how much a block stands out of those around it, at least.
_STANDS_OUT_DB = 15.0
_AROUND = 100  # blocks
_READ_HZ = 100.0, 16_000.0
#: What a compressor does as a sweep sets in is no response and no harmonic.
_STARTED_S = 0.2
_EDGE_S = 0.012  # of a stair or a burst, where the sound changes by itself


def find_breaks(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> tuple[Fault, ...]:
    """Crackles that a measurement can stand. Raises NotMeasured for what it can't."""
    _check_places(plan, alignment, samples, swept)
    found = [
        (alignment.sample_at(section.start_s + begins_s + block * _BLOCK_S) / alignment.rate_hz, db)
        for section, begins_s, stray, level in _stretches(plan, alignment, samples, swept)
        for block, db in _standing_out(stray, level, alignment.rate_hz)
    ]
    gaps = sorted(at_s for at_s, db in found if db > GAP_DB)
    if len(gaps) > _MANY and gaps[-1] - gaps[0] > _LONG_S:
        raise _disturbed(gaps[0])
    if gaps:
        raise NotMeasured(
            "dropout",
            f"The recording drops out at {gaps[0]:.1f} s: record it again, with a larger buffer.",
        )
    if not found:
        return ()
    at_s = min(found)[0]
    return (
        Fault(
            "crackles",
            f"It crackles at {at_s:.1f} s: look after plugs and switches if figures surprise you.",
            at_s,
        ),
    )


def _disturbed(at_s: float) -> NotMeasured:
    return NotMeasured(
        "disturbed",
        f"From {at_s:.0f} s on something else sounds in the recording, or its speed wavers. Look what else goes into "
        "that channel, and record it again.",
    )


def _check_places(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> None:
    """Each part has to stand where the clock of the two tones has it. Raises NotMeasured where one doesn't."""
    by_tonic = _by_tonic(plan, alignment, samples, swept)
    moved = by_tonic + _by_sweeps(plan, alignment, swept)
    wrong = [begin for begin, by_s, doubt_s in moved if abs(by_s) > MOVED_S + _SURE * doubt_s]
    if not wrong:
        return
    second, lost, left = _what_is_lost(plan, alignment, by_tonic, moved[len(by_tonic) :])
    if not lost or left > MOVED_S:
        raise _disturbed(alignment.sample_at(min(wrong)) / alignment.rate_hz)
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


def _stretches(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> Iterator[tuple[Section, float, np.ndarray, float]]:
    """What should be next to nothing: its section, from when on in it, the samples, and the sound's level."""
    for sweep, each in zip(plan.of("sweep"), swept, strict=True):
        begin, end = (round(second * alignment.rate_hz) for second in (_STARTED_S, sweep.length_s))
        level = float(np.median(np.abs(each.response)))
        yield sweep, _STARTED_S, each.strange[begin:end], level
    for section in plan.of("tone") + plan.of("staircase") + plan.of("bursts"):
        for begins_s, ends_s in _steady(plan, section):
            begin, end = (
                round(alignment.sample_at(section.start_s + second))
                for second in (begins_s + _EDGE_S, ends_s - _EDGE_S)
            )
            heard = samples[begin:end]
            yield (
                section,
                begins_s + _EDGE_S,
                _without(heard, 2 * math.pi * section.hertz / alignment.rate_hz),
                float(np.percentile(np.abs(heard), 95)),
            )


def _steady(plan: Plan, section: Section) -> list[tuple[float, float]]:
    """Between which seconds of a section one level sounds."""
    if section.kind == "tone":
        return [(0.0, section.length_s)]
    if section.kind == "staircase":
        return [(n * STAIR_S, (n + 1) * STAIR_S) for n in range(len(STAIRS_DB))]
    whole = BURST_S + plan.pause_s
    onsets = [BURST_S + number * whole for number in range(plan.burst_count)]
    parts = [(0.0, BURST_S)]
    for onset in onsets:
        parts += [(onset, onset + BURST_S), (onset + BURST_S, onset + whole)]
    return parts


def _without(samples: np.ndarray, turn_a_sample: float) -> np.ndarray:
    """The samples without a sine, however loud it is: what a sine is at three in a row adds up to nothing."""
    middle = samples[1:-1]
    return samples[2:] + samples[:-2] - np.float32(2 * math.cos(turn_a_sample)) * middle


def _standing_out(stray: np.ndarray, level: float, rate_hz: float) -> Iterator[tuple[int, float]]:
    """Blocks that are far louder than those around them, and how loud against the sound."""
    count = round(_BLOCK_S * rate_hz)
    peaks = np.abs(stray[: len(stray) // count * count]).reshape(-1, count).max(axis=1)
    if not peaks.size or level <= 0:
        return
    for begin in range(0, len(peaks), _AROUND):
        near = peaks[max(0, begin - _AROUND // 2) : begin + _AROUND + _AROUND // 2]
        floor = float(np.median(near)) * 10 ** (_STANDS_OUT_DB / 20)
        limit = max(floor, level * 10 ** (CRACKLE_DB / 20))
        for block in np.flatnonzero(peaks[begin : begin + _AROUND] > limit):
            yield begin + int(block), 20 * math.log10(peaks[begin + block] / level)
