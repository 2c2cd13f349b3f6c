"""A return of the test file through a chain that nobody has: simulated, so that what the demo measures is
really measured. Levels are those of a sine in dBu, whose peak is 1 at 0 dBu here.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from gear.audio.curves import Band, Compressor
from gear.audio.proving.plan import Plan
from gear.audio.proving.signal import section_at

AFTER_S = 0.8
CLOCK_PPM = 1.4
NOISE_DBU, HUM = -78.0, ((50.0, -92.0), (150.0, -97.0))
SECOND, THIRD = 1.2e-3, 6e-4
_STEP_S = 0.001  # of a compressor's detector: a period of 1 kHz


@dataclass(frozen=True)
class Holds:
    """A compressor at work: its curve, and the time constants of its detector."""

    curve: Compressor
    attack_ms: float
    release_ms: float


#: What a signal goes through: so many dB of gain, the bands of an equaliser, or a compressor.
Stage = float | tuple[Band, ...] | Holds


def simulated_return(
    plan: Plan, stages: Iterable[Stage], *, fed_dbu: float, full_scale_dbu: float, samples_late: int
) -> np.ndarray:
    """What a converter records at the plan's rate while the file goes through the stages in turn, by a
    clock that is a little fast. fed_dbu: the ceiling of the file where it is fed in."""
    count = round((plan.length_s + AFTER_S) * plan.rate_hz)
    seconds = (np.arange(count) - samples_late) / (plan.rate_hz * (1 + CLOCK_PPM / 1e6))
    sound = _db(fed_dbu) * _played(plan, seconds)
    for stage in stages:
        sound = _through(stage, sound, plan.rate_hz)
    sound += SECOND * sound**2 + THIRD * sound**3
    random = np.random.default_rng(count)
    sound += random.normal(0, _db(NOISE_DBU) / math.sqrt(2), count)
    for hertz, level in HUM:
        sound += _db(level) * np.sin(2 * np.pi * hertz * seconds)
    return np.clip(sound * _db(-full_scale_dbu), -1, 1).astype(np.float32)


def _played(plan: Plan, seconds: np.ndarray) -> np.ndarray:
    """Against the ceiling."""
    sound = np.zeros(seconds.size)
    for section in plan.sections:
        first, last = np.searchsorted(seconds, (section.start_s, section.end_s))
        sound[first:last] = section_at(plan, section, seconds[first:last] - section.start_s)
    return sound


def _through(stage: Stage, sound: np.ndarray, rate_hz: int) -> np.ndarray:
    if isinstance(stage, Holds):
        return sound * _gain_of(stage, sound, rate_hz)
    if isinstance(stage, tuple):
        return _filtered(stage, sound, rate_hz)
    return sound * _db(stage)


def _filtered(bands: tuple[Band, ...], sound: np.ndarray, rate_hz: int) -> np.ndarray:
    """By the bands' analogue prototypes, whose response the whole recording is multiplied by: what is
    round about its end lies in its silence."""
    size = 2 ** math.ceil(math.log2(sound.size))
    turned = np.fft.rfft(sound, size)
    for band in bands:
        s = 1j * np.fft.rfftfreq(size, 1 / rate_hz) / band.frequency_hz
        for top, bottom in band.prototypes():
            turned *= np.polyval(top[::-1], s) / np.polyval(bottom[::-1], s)
    return np.fft.irfft(turned, size)[: sound.size]


def _gain_of(holds: Holds, sound: np.ndarray, rate_hz: int) -> np.ndarray:
    """The gain at each sample: of a peak detector whose reduction in dB follows with the attack where it
    grows, and with the release where it falls."""
    step = round(_STEP_S * rate_hz)
    peaks = np.abs(np.resize(sound, (math.ceil(sound.size / step), step))).max(axis=1)
    levels = 20 * np.log10(np.maximum(peaks, 1e-9))
    attack, release = (
        math.exp(-_STEP_S * 1000 / each) for each in (holds.attack_ms, holds.release_ms)
    )
    held, now = np.empty(levels.size), 0.0
    wanted = np.array([holds.curve.reduction_db(level) for level in levels])
    for place, more in enumerate(wanted.tolist()):
        slow = attack if more > now else release
        now = more + slow * (now - more)
        held[place] = now
    gain = holds.curve.make_up_db - held
    middles = (np.arange(levels.size) + 1) * step
    return _db(np.interp(np.arange(sound.size), middles, gain))


def _db(level):
    return 10 ** (level / 20)
