"""The test file played through a chain and recorded."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy import fft

from gear.audio.proving.plan import Plan, Section
from gear.audio.proving.signal import blocks, section_at
from tests.simulated.clock import sampled_at

INSIDE = (
    2  # the chain runs at so many times the file's rate: third harmonics fold above what is kept
)
BEFORE_S, AFTER_S = 0.5, 1.0  # recorded before a section alone, and after the end


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
    return _recorded(*_played(plan), plan.rate_hz, chain, seed)


def simulated_section(plan: Plan, chain: Chain, section: Section, seed: int = 1) -> np.ndarray:
    """The same of one section alone, after half a second of silence, from its start by the recorder's
    clock: many in the time of one return."""
    rate = plan.rate_hz
    before = round(BEFORE_S * rate)
    count = _even_length(before + math.ceil((section.length_s + AFTER_S) * rate))
    seconds = (np.arange(count) - before) / rate
    sound = 10 ** (plan.ceiling_dbfs / 20) * section_at(plan, section, seconds)
    recorded = _recorded(_spectrum(sound, count), count, rate, chain, seed)
    true_rate = rate * (1 + chain.clock_ppm * 1e-6)
    first = round(BEFORE_S * true_rate + chain.latency_samples)
    return recorded[first : first + math.ceil(section.length_s * true_rate)]


def _recorded(played: np.ndarray, count: int, rate: int, chain: Chain, seed: int) -> np.ndarray:
    """Of a spectrum of so many samples."""
    hertz = np.arange(played.size) * (rate / count)
    converter = _converter(hertz, rate)
    spectrum = played * converter
    spectrum *= chain.polarity
    # Whole samples of the recorder's come as silence before, what is left in the spectrum.
    fast = 1 + chain.clock_ppm * 1e-6
    silent = math.floor(chain.latency_samples * fast)
    spectrum *= np.exp(-2j * np.pi / rate * (chain.latency_samples - silent / fast) * hertz)
    inside = None  # the samples at the inner rate, while stages work on them
    for stage in chain.stages:
        if hasattr(stage, "response"):
            if inside is not None:
                spectrum, inside = _kept(inside, played.size), None
            spectrum *= stage.response(hertz)
            continue
        if inside is None:
            inside = fft.irfft(spectrum, INSIDE * count, norm="forward")
        inside = stage.apply(inside, INSIDE * rate)
    if inside is not None:
        spectrum = _kept(inside, played.size)
    spectrum *= converter
    inside = fft.irfft(spectrum, INSIDE * count, norm="forward")
    before = np.zeros(silent, np.float32)
    recorded = np.concatenate([before, sampled_at(inside, INSIDE, chain.clock_ppm)])
    _add_noise(recorded, rate, chain, np.random.default_rng(seed))
    return recorded


def _kept(inside: np.ndarray, bins: int) -> np.ndarray:
    """The spectrum up to half of the file's rate: no converter takes more."""
    return fft.rfft(inside, norm="forward")[:bins]


@lru_cache(maxsize=3)
def _played(plan: Plan) -> tuple[np.ndarray, int]:
    """The file's spectrum, and of how many samples at its rate."""
    samples = np.concatenate(list(blocks(plan)))
    count = _even_length(samples.size + math.ceil(AFTER_S * plan.rate_hz))
    return _spectrum(samples, count), count


def _spectrum(samples: np.ndarray, count: int) -> np.ndarray:
    """In single precision from here on: its error lies some 130 dB below the file's own power."""
    return fft.rfft(samples, count, norm="forward").astype(np.complex64)


def _even_length(least: int) -> int:
    return 2 * fft.next_fast_len(-(-least // 2), real=True)


def _converter(hertz: np.ndarray, rate_hz: int) -> np.ndarray:
    """A converter's filter: flat to 20.6 kHz or more, nothing from half of the rate on."""
    first, last = max(20_600, 0.45 * rate_hz), rate_hz / 2
    share = np.clip((hertz - first) / (last - first), 0, 1)
    return (0.5 + 0.5 * np.cos(np.pi * share)).astype(np.float32)


def _add_noise(recorded: np.ndarray, rate: int, chain: Chain, chance: np.random.Generator) -> None:
    if chain.noise_dbfs is not None:
        band = (20_000 - 20) / (rate / 2)
        white = chance.standard_normal(recorded.size, np.float32)
        white *= 10 ** (chain.noise_dbfs / 20) / math.sqrt(2 * band)
        recorded += white
    step = 2 * np.pi / (rate * (1 + chain.clock_ppm * 1e-6))
    for hertz, dbfs in chain.hum:
        phase = np.arange(recorded.size) * (step * hertz)
        phase += 2 * np.pi * chance.random()
        np.sin(phase, out=phase)
        phase *= 10 ** (dbfs / 20)
        recorded += phase.astype(np.float32)
