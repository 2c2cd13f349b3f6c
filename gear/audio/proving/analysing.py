"""The whole of a measurement: what a return of the test file says about the chain that it came through."""

import math
from collections.abc import Callable

import numpy as np

from gear.audio.proving.aligning import align
from gear.audio.proving.bursts import timings
from gear.audio.proving.curve import compression, static_curve
from gear.audio.proving.plan import Plan
from gear.audio.proving.polarity import delay_and_polarity
from gear.audio.proving.response import CENTRE, Reader, Swept
from gear.audio.proving.result import NotMeasured, Result
from gear.audio.proving.silence import noise
from gear.audio.proving.steady import tone

#: Sweeps that differ by no more than this agree: the chain does the same at both levels.
AGREE_DB = 0.1
_SETTLED_S = 0.1  # what is left out at both ends of a tone, and of the silence


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
    samples = _sound(samples)
    if rate_hz != plan.rate_hz:
        raise NotMeasured(
            "other rate",
            f"The recording is at {rate_hz} Hz, the test file at {plan.rate_hz} Hz: record it at the file’s rate.",
        )
    alignment = align(plan, samples, rate_hz)
    said(0.1)
    reader, swept = Reader(plan, alignment), []
    for sweep in plan.of("sweep"):
        swept.append(reader.read(samples, sweep))
        said(0.1 + 0.1 * len(swept))
    chosen = highest_that_agrees(swept)
    late, polarity = delay_and_polarity((chosen or swept[0]).impulse, alignment.rate_hz)
    alignment = alignment.later_by((chosen or swept[0]).centre + late - CENTRE)
    rate = alignment.rate_hz

    curve, harmonics = static_curve(plan, alignment.cut(samples, plan.of("staircase")[0]), rate)
    said(0.6)
    found, why_not = compression(curve)
    bursts = [timings(plan, each, alignment.cut(samples, each), rate) for each in plan.of("bursts")]
    said(0.9)
    silence = _inner(alignment.cut(samples, plan.of("silence")[0]), rate)
    noise_dbfs, noise_a_dbfs, hum = noise(silence, rate)
    tones = [
        tone(_inner(alignment.cut(samples, each), rate), rate, each.hertz)
        for each in plan.of("tone")
    ]
    sent = plan.ceiling_dbfs + plan.of("tone")[0].level_db
    cannot = {} if found else {"compression": why_not}
    if chosen is None:
        cannot["response_db"] = "The response depends on level: even the two lowest sweeps differ."
    if polarity is None:
        cannot["polarity"] = "The chain turns the phase so that neither way up fits."
    said(1.0)
    return Result(
        rate_hz=rate_hz,
        clock_ppm=alignment.clock_ppm,
        latency_samples=alignment.first,
        polarity=polarity,
        gain_db=float(np.mean([each.dbfs for each in tones])) - sent,
        signal_to_noise_db=tones[0].dbfs - noise_dbfs,
        response_db=tuple(float(gain) for gain in (chosen or swept[0]).gain_db),
        response_level_db=chosen and chosen.level_db,
        harmonics=harmonics,
        curve=curve,
        compression=found,
        timings=tuple(bursts),
        noise_dbfs=noise_dbfs,
        noise_a_dbfs=noise_a_dbfs,
        hum=hum,
        cannot_tell=cannot,
    )


def highest_that_agrees(swept: list[Swept]) -> Swept | None:
    """Of sweeps, the lowest first: the highest that the chain treats as it treats the one below it."""
    for low, high in reversed(list(zip(swept[:-1], swept[1:], strict=True))):
        doubt = np.hypot(low.uncertain_db, high.uncertain_db)
        if (np.abs(high.gain_db - low.gain_db) < AGREE_DB + 4 * doubt).all():
            return high
    return None


def _sound(samples: np.ndarray) -> np.ndarray:
    samples = np.asarray(samples)
    if samples.ndim != 1 or not samples.size or samples.dtype.kind != "f":
        raise NotMeasured("not sound", "The recording holds no sound that can be read.")
    samples = samples.astype(np.float32, copy=False)
    if not np.isfinite(samples).all():
        raise NotMeasured(
            "not sound", "The recording holds values that are no sound: export it again."
        )
    if not samples.any():
        raise NotMeasured(
            "silent", "The recording is silent: look whether the right input was recorded."
        )
    return samples


def _inner(samples: np.ndarray, rate: float) -> np.ndarray:
    edge = math.ceil(_SETTLED_S * rate)
    return samples[edge:-edge]
