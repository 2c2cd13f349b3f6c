"""The test file played through a chain and recorded."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy import fft

from gear.audio.proving.plan import Plan
from gear.audio.proving.signal import blocks
from tests.simulated.clock import sampled_at

INSIDE = (
    2  # the chain runs at so many times the file's rate: third harmonics fold above what is kept
)
AFTER_S = 1.0  # that is recorded after the file's end


@dataclass(frozen=True)
class Chain:
    """`stages` in the order of the signal: each has `response(hertz)`, or `apply(samples, rate_hz)`.

    latency_samples: of all together, at the nominal rate. clock_ppm: by how much the recorder's clock
    runs fast, so that it takes more samples. noise_dbfs: white, from 20 Hz to 20 kHz, where 0 dBFS is
    the RMS of a sine of full scale (AES17); noise and hum come in at the end. hum: pairs of frequency
    and dBFS. starts_with_s: silence recorded before the file began, which counts as latency.
    """

    stages: tuple = ()
    polarity: int = 1
    latency_samples: float = 0.0
    clock_ppm: float = 0.0
    noise_dbfs: float | None = None
    hum: tuple[tuple[float, float], ...] = ()

    def response(self, hertz: np.ndarray) -> np.ndarray:
        """Of all that is linear: the whole, where nothing else acts."""
        whole = np.full(np.shape(hertz), complex(self.polarity))
        for stage in self.stages:
            if hasattr(stage, "response"):
                whole = whole * stage.response(hertz)
        return whole


#: What goes straight back, sixty-three samples and a third later.
CABLE = Chain(latency_samples=63 + 1 / 3)


def simulated_return(plan: Plan, chain: Chain, seed: int = 1) -> np.ndarray:
    """What the recorder took, from the moment when the file began to play: one channel at plan.rate_hz
    by its own clock, full scale is 1, not clipped there."""
    played, count = _played(plan)
    hertz = np.arange(played.size) * (plan.rate_hz / count)
    spectrum = played * (_converter(hertz, plan.rate_hz) * chain.polarity)
    spectrum *= np.exp(-2j * np.pi * hertz / plan.rate_hz * chain.latency_samples)
    inside = None  # the samples at the inner rate, once a stage has worked on them
    pending = None  # the responses of linear stages that are still to be applied
    for stage in chain.stages:
        if hasattr(stage, "response"):
            response = stage.response(_inner(hertz, plan, count) if inside is not None else hertz)
            pending = response if pending is None else pending * response
            continue
        inside = _linear(plan, count, spectrum, inside, pending)
        inside, pending = stage.apply(inside, INSIDE * plan.rate_hz), None
    if inside is not None:
        top = _converter(_inner(hertz, plan, count), plan.rate_hz)
        pending = top if pending is None else pending * top
    inside = _linear(plan, count, spectrum, inside, pending)
    recorded = sampled_at(inside, INSIDE, chain.clock_ppm)
    return recorded + _noise(plan, chain, recorded.size, np.random.default_rng(seed))


@lru_cache(maxsize=3)
def _played(plan: Plan) -> tuple[np.ndarray, int]:
    """The file's spectrum, and of how many samples at its rate."""
    samples = np.concatenate(list(blocks(plan)))
    count = fft.next_fast_len(samples.size + math.ceil(AFTER_S * plan.rate_hz), real=True)
    count += count % 2
    return fft.rfft(samples, count), count


def _inner(hertz: np.ndarray, plan: Plan, count: int) -> np.ndarray:
    """The frequencies of a spectrum at the inner rate."""
    return np.arange(INSIDE * count // 2 + 1) * (plan.rate_hz / count)


def _linear(plan, count, spectrum, inside, pending) -> np.ndarray:
    """At the inner rate, with the pending responses applied."""
    if inside is not None:
        if pending is None:
            return inside
        return fft.irfft(fft.rfft(inside) * pending, inside.size)
    whole = spectrum if pending is None else spectrum * pending
    return fft.irfft(whole, INSIDE * count) * INSIDE


def _converter(hertz: np.ndarray, rate_hz: int) -> np.ndarray:
    """A converter's filter: flat to 20.6 kHz or more, nothing from half of the rate on."""
    first, last = max(20_600, 0.45 * rate_hz), rate_hz / 2
    share = np.clip((hertz - first) / (last - first), 0, 1)
    return 0.5 + 0.5 * np.cos(np.pi * share)


def _noise(plan: Plan, chain: Chain, count: int, chance: np.random.Generator) -> np.ndarray:
    made = np.zeros(count)
    if chain.noise_dbfs is not None:
        band = (20_000 - 20) / (plan.rate_hz / 2)
        made += chance.standard_normal(count) * 10 ** (chain.noise_dbfs / 20) / math.sqrt(2 * band)
    at = np.arange(count) / (plan.rate_hz * (1 + chain.clock_ppm * 1e-6))
    for hertz, dbfs in chain.hum:
        made += 10 ** (dbfs / 20) * np.sin(2 * np.pi * (hertz * at + chance.random()))
    return made
