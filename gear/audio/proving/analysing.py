"""The whole of a measurement: what a return of the test file says about the chain that it came through."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from gear.audio.proving.aligning import Alignment, align
from gear.audio.proving.bursts import release_faults, timings, why_untold
from gear.audio.proving.curve import compression, static_curve
from gear.audio.proving.damage import check_clipping, gain_faults
from gear.audio.proving.gaps import find_gaps
from gear.audio.proving.plan import Plan, Section
from gear.audio.proving.polarity import delay_and_polarity
from gear.audio.proving.recognising import (
    check_bursts,
    check_clear,
    check_level,
    noise_faults,
    usable,
    why_not_found,
)
from gear.audio.proving.response import CENTRE, Reader, Swept
from gear.audio.proving.result import HERTZ, Result
from gear.audio.proving.shifts import check_places
from gear.audio.proving.silence import noise
from gear.audio.proving.steady import Steady, tone

#: Sweeps that differ by no more than this agree: the chain does the same at both levels.
AGREE_DB = 0.1
#: Of two that differ by no more than this the higher is read, which noise disturbs less.
SAME_DB = 0.02
#: How many standard deviations of noise are allowed for, at 241 frequencies.
SURE = 4.0
#: A gain that noise lets be off by more than this isn't told.
LEAST_EXACT_DB = 0.1
_TONIC = HERTZ.index(1000.0)


def analyse(
    plan: Plan,
    samples: np.ndarray,
    rate_hz: int,
    *,
    said: Callable[[float], None] = lambda share: None,
) -> Result:
    """What the return of this plan's file says. samples: of one channel, full scale 1, as they were recorded
    at rate_hz; single precision is enough and taken. `said` is told the share that is done.

    Raises NotMeasured for what is no return of the file, or a damaged one.
    """
    samples = usable(plan, samples, rate_hz)
    check_clipping(samples, rate_hz)
    alignment = align(plan, samples, rate_hz)
    if alignment is None:
        raise why_not_found(plan, samples, rate_hz)
    check_level(plan, alignment, samples)
    said(0.1)
    reader, swept = Reader(plan, alignment), []
    for sweep in plan.of("sweep"):
        swept.append(reader.read(samples, sweep))
        said(0.1 + 0.1 * len(swept))
    chosen = highest_that_agrees(swept)
    read = chosen or swept[0]
    response = _told(read)
    noise_dbfs, noise_a_dbfs, hum = noise(
        alignment.settled(samples, plan.of("silence")[0]), alignment.rate_hz
    )
    last = plan.of("tone")[-1]
    heard = _late_part(alignment, samples, last)
    check_clear(_told(swept[-1]).count(None) / len(HERTZ), heard)
    faults = gain_faults(plan, alignment, samples)
    uneven = check_places(plan, alignment, samples, swept)
    faults += find_gaps(plan, alignment, samples, swept)
    if uneven:
        raise uneven
    late, polarity = delay_and_polarity(read.impulse, alignment.rate_hz)
    alignment = alignment.later_by(read.centre + late - CENTRE)
    rate = alignment.rate_hz
    check_bursts(plan, alignment, samples)
    said(0.6)

    curve, harmonics = static_curve(plan, alignment.cut(samples, plan.of("staircase")[0]), rate)
    found, why_not = compression(curve)
    bursts = [timings(plan, each, alignment.cut(samples, each), rate) for each in plan.of("bursts")]
    said(0.9)
    cannot = {
        "compression": why_not,
        "timings": found and why_untold(plan, bursts),
        "polarity": polarity is None
        and "Phase turns so much in the chain that neither way up fits.",
        "response_db": _why_no_response(chosen, response),
    }
    said(1.0)
    return Result(
        rate_hz=rate_hz,
        clock_ppm=alignment.clock_ppm,
        latency_samples=alignment.first,
        polarity=polarity,
        gain_db=_gain_at_rest(heard.dbfs - plan.ceiling_dbfs - last.level_db, read),
        signal_to_noise_db=heard.dbfs - noise_dbfs,
        response_db=response,
        response_level_db=chosen and chosen.level_db,
        harmonics=harmonics,
        curve=curve,
        compression=found,
        timings=tuple(bursts),
        noise_dbfs=noise_dbfs,
        noise_a_dbfs=noise_a_dbfs,
        hum=hum,
        faults=faults + noise_faults(heard.dbfs - noise_dbfs) + release_faults(plan, bursts),
        cannot_tell={name: why for name, why in cannot.items() if why},
    )


def highest_that_agrees(swept: list[Swept]) -> Swept | None:
    """Of sweeps, the lowest first: the highest that the chain treats just as it treats the one below it. If
    there is none, the lowest of two that it treats nearly so: the higher may touch a knee already."""
    pairs = list(pairwise(swept))
    for low, high in reversed(pairs):
        if _agree(low, high, SAME_DB):
            return high
    return next((low for low, high in pairs if _agree(low, high, AGREE_DB)), None)


def _agree(one: Swept, other: Swept, within_db: float) -> bool:
    """At every frequency, noise allowed for."""
    doubt = SURE * np.hypot(one.uncertain_db, other.uncertain_db)
    return bool((np.abs(other.gain_db - one.gain_db) < within_db + doubt).all())


def _gain_at_rest(tone_gain_db: float, read: Swept) -> float:
    """At 1 kHz: the tone's, which is the most exact, where it is what the sweep says, too."""
    swept, doubt = float(read.gain_db[_TONIC]), float(read.uncertain_db[_TONIC])
    return tone_gain_db if abs(tone_gain_db - swept) < SAME_DB + SURE * doubt else swept


def _late_part(alignment: Alignment, samples: np.ndarray, section: Section) -> Steady:
    """Of a tone its second half: what a release leaves of a reduction is least there."""
    part = alignment.settled(samples, section)
    return tone(part[len(part) // 2 :], alignment.rate_hz, section.hertz)


def _told(swept: Swept) -> tuple[float | None, ...]:
    clear = SURE * swept.uncertain_db < LEAST_EXACT_DB
    return tuple(
        float(gain) if is_clear else None
        for gain, is_clear in zip(swept.gain_db, clear, strict=True)
    )


def _why_no_response(chosen: Swept | None, response: tuple[float | None, ...]) -> str | None:
    if chosen is None:
        return (
            "The response depends on level: even the two quietest sweeps come back differently. "
            "It stands as the quietest has it."
        )
    hidden = [hertz for hertz, gain in zip(HERTZ, response, strict=True) if gain is None]
    if hidden:
        return f"At {len(hidden)} of {len(HERTZ)} frequencies noise hides the response."
    return None
