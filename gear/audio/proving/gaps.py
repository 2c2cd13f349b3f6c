"""Gaps and crackles in a return: what neither the chain's response nor its harmonics explain."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.aligning import Alignment
from gear.audio.proving.plan import BURST_S, STAIR_S, STAIRS_DB, Plan, Section
from gear.audio.proving.response import Swept
from gear.audio.proving.result import Fault, NotMeasured
from gear.audio.proving.shifts import disturbed
from gear.audio.proving.signal import sweep_length_s, sweep_reaches_s

#: What comes in between, against the sound itself: above the first it is a gap, above the second a crackle. What a
#: compressor makes of a sweep comes up to -52 dB, and less than the second moves no figure by a hundredth of a decibel.
GAP_DB, CRACKLE_DB = -30.0, -45.0
_BLOCK_S = 0.001
#: By how much a block stands out of those around it, at least.
_STANDS_OUT_DB = 15.0
#: A block with less than this share of what sounded just before is a gap, unless noise makes blocks uneven.
_DIP, _UNEVEN = 0.3, 1.5
#: From here on a block holds periods enough of a sweep; above it converters may take it away.
_EVEN_HZ = 2000.0, 19_000.0
#: So many blocks over so long a time are no gap but something else that sounds.
_MANY, _LONG_S = 100, 1.0
#: What a compressor does as a sweep sets in and fades out is no response and no harmonic.
_STARTED_S, _ENDING_S = 0.03, 0.02
#: After the beginning of a stair, a burst or a rest, and before its end: what rings and reacts by itself.
_EDGES_S = 0.04, 0.003


@dataclass(frozen=True)
class Stretch:
    """What should be next to nothing, from a second of the file on, beside the level of the sound; and a part of the
    return in which that level stays as it is, or changes slowly."""

    strange_from_s: float
    strange: np.ndarray
    level: float
    even_from_s: float
    even: np.ndarray


def find_gaps(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> tuple[Fault, ...]:
    """Crackles that a measurement can stand. Raises NotMeasured for what it can't."""
    rate = alignment.rate_hz
    gaps, strange = [], []
    for each in _stretches(plan, alignment, samples, swept):
        gaps += [each.even_from_s + block * _BLOCK_S for block in _dips(each.even, rate)]
        strange += [
            (each.strange_from_s + block * _BLOCK_S, loud_db)
            for block, loud_db in _standing_out(each.strange, each.level, rate)
        ]
    loud = sorted(second for second, loud_db in strange if loud_db > GAP_DB)
    if len(loud) > _MANY and loud[-1] - loud[0] > _LONG_S:
        raise disturbed(alignment.sample_at(loud[0]) / rate)
    if gaps or loud:
        at_s = alignment.sample_at(min(gaps + loud)) / rate
        raise NotMeasured(
            "dropout",
            f"The recording drops out at {at_s:.1f} s, or something else sounds there. Record it again, with a larger "
            "buffer and nothing else on that channel.",
        )
    if not strange:
        return ()
    at_s = alignment.sample_at(min(strange)[0]) / rate
    return (
        Fault(
            "crackles",
            f"It crackles at {at_s:.1f} s: look after plugs and switches if figures surprise you.",
            at_s,
        ),
    )


def _stretches(
    plan: Plan, alignment: Alignment, samples: np.ndarray, swept: list[Swept]
) -> Iterator[Stretch]:
    rate = alignment.rate_hz

    def part(from_s: float, to_s: float) -> np.ndarray:
        return samples[round(alignment.sample_at(from_s)) : round(alignment.sample_at(to_s))]

    for sweep, each in zip(plan.of("sweep"), swept, strict=True):
        begin, end = round(_STARTED_S * rate), round((sweep_length_s() - _ENDING_S) * rate)
        even, to = (sweep.start_s + sweep_reaches_s(hertz) for hertz in _EVEN_HZ)
        level = float(np.median(np.abs(each.response)))
        strange = each.strange[begin:end]
        yield Stretch(sweep.start_s + _STARTED_S, strange, level, even, part(even, to))
    for section in plan.of("tone") + plan.of("staircase") + plan.of("bursts"):
        for begins_s, ends_s in _steady(plan, section):
            begin = section.start_s + begins_s + _EDGES_S[0]
            heard = part(begin, section.start_s + ends_s - _EDGES_S[1])
            strange = _without(heard, 2 * math.pi * section.hertz / rate)
            level = float(np.percentile(np.abs(heard), 95))
            yield Stretch(begin, strange, level, begin, heard)


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
    """The samples without a sine, however loud it is: what a sine is at three in a row adds up to nothing. Nor
    with what rings low and long after a burst, which differs little from one to the next."""
    middle = samples[1:-1]
    return np.diff(samples[2:] + samples[:-2] - np.float32(2 * math.cos(turn_a_sample)) * middle)


def _standing_out(strange: np.ndarray, level: float, rate_hz: float) -> Iterator[tuple[int, float]]:
    """Blocks that are far louder than those around them, and how loud against the sound."""
    peaks = np.abs(_blocks(strange, rate_hz)).max(axis=1)
    floor = _around(peaks, 50) * 10 ** (_STANDS_OUT_DB / 20)
    for block in np.flatnonzero(peaks > np.maximum(floor, level * 10 ** (CRACKLE_DB / 20))):
        yield int(block), 20 * math.log10(peaks[block] / max(level, 1e-9))


def _dips(even: np.ndarray, rate_hz: float) -> list[int]:
    """Blocks in which next to nothing is left of what sounded two blocks before."""
    loud = np.sqrt(np.mean(_blocks(even, rate_hz) ** 2, axis=1))
    if not loud.size or np.percentile(loud / np.maximum(_around(loud, 250), 1e-12), 95) > _UNEVEN:
        return []
    return (2 + np.flatnonzero(loud[2:] < _DIP * loud[:-2])).tolist()


def _blocks(samples: np.ndarray, rate_hz: float) -> np.ndarray:
    count = round(_BLOCK_S * rate_hz)
    return samples[: len(samples) // count * count].reshape(-1, count)


def _around(values: np.ndarray, reach: int) -> np.ndarray:
    """The median of what lies so many values before and after, or a few more."""
    found = np.empty_like(values)
    for begin in range(0, len(values), reach):
        found[begin : begin + reach] = np.median(values[max(0, begin - reach) : begin + 2 * reach])
    return found
