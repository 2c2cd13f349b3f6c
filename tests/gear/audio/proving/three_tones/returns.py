"""What comes back from a chain that is known: filtered, at another clock, with noise."""

from functools import lru_cache

import numpy as np
from scipy import signal

from gear.audio.proving.signal import section_at
from gear.audio.proving.three_tones.layout import ThreeTones

PLAN = ThreeTones(48_000, -20.0)


@lru_cache(maxsize=4)  # a recording is 11 MB and more
def returned(plan: ThreeTones = PLAN, *, rate_hz=None, late_s=0.0, ppm=0.0):
    """The file as a converter hears it that starts so late and runs at a clock of its own."""
    rate_hz = rate_hz or plan.rate_hz
    count = round((plan.length_s + late_s + 0.5) * rate_hz)
    samples = played(plan, np.arange(count) / rate_hz / (1 + ppm * 1e-6) - late_s)
    samples.setflags(write=False)
    return samples


def played(plan: ThreeTones, seconds):
    """The file's sound at these of its own times."""
    sounds = np.zeros(seconds.size)
    for each in plan.sections:
        within = (seconds >= each.start_s) & (seconds < each.end_s)
        sounds[within] = section_at(plan, each, seconds[within] - each.start_s)
    return 10 ** (plan.ceiling_dbfs / 20) * sounds


def filtered(samples, kind, hertz, order=2, rate_hz=48_000):
    """Through a Butterworth filter, and what that does at a frequency in dB (scipy: sosfreqz)."""
    sections = signal.butter(order, hertz, kind, fs=rate_hz, output="sos")

    def decibels(at_hz):
        _, response = signal.sosfreqz(sections, [at_hz], fs=rate_hz)
        return 20 * np.log10(abs(response[0]))

    return signal.sosfilt(sections, samples), decibels


def noise(count, dbfs, seed=19):
    """White, by its RMS."""
    return 10 ** (dbfs / 20) * np.random.default_rng(seed).standard_normal(count)
