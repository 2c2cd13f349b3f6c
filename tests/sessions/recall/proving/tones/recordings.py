"""Recordings of three tones as files: in `gain_db` louder than they were played, one channel or more."""

import numpy as np

from gear.audio.proving.three_tones.layout import ThreeTones
from tests.gear.audio.proving.three_tones.returns import returned
from tests.signals import write_wav

PLAN = ThreeTones(48_000, -18.0)


def recording(folder, *, gain_db=0.0, plan=PLAN, channels=1, on=0, hum=None):
    """on: which of the channels it is; the others hold a little noise. hum: frequency and dBFS."""
    chance = np.random.default_rng(7)
    sound = 10 ** (gain_db / 20) * returned(plan)
    if hum:
        hertz, dbfs = hum
        turns = hertz * np.arange(sound.size) / plan.rate_hz
        sound = sound + 10 ** (dbfs / 20) * np.sin(2 * np.pi * turns)
    samples = 1e-4 * chance.standard_normal((sound.size, channels))
    samples[:, on] = sound
    return write_wav(folder / "tones.wav", samples, rate=plan.rate_hz)
