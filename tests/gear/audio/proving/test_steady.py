"""A sine read from a recording, in what else a recording holds."""

import numpy as np
import pytest

from gear.audio.proving.steady import tone

RATE_HZ = 48_000 * (1 + 37e-6)  # a recorder's own clock
AT = np.arange(11_520) / RATE_HZ  # what is read of a stair


def a_sine(amplitude, hertz=1000, phase=0.0):
    return amplitude * np.sin(2 * np.pi * hertz * AT + phase)


@pytest.mark.parametrize("phase", [-3.0, 0.0, 1.2])
def test_amplitude_and_phase_at_the_first_sample(phase):
    sine = tone(a_sine(0.25, phase=phase), RATE_HZ, 1000)
    assert sine.amplitude == pytest.approx(0.25, rel=1e-8)
    assert sine.phase == pytest.approx(phase, abs=1e-8)
    assert sine.dbfs == pytest.approx(-12.0412, abs=1e-4)


def test_hum_and_a_direct_part_do_not_count():
    dirty = a_sine(0.01) + 0.03 + a_sine(0.02, 50) + a_sine(0.005, 150)
    assert tone(dirty, RATE_HZ, 1000).dbfs == pytest.approx(-40, abs=1e-4)


def test_harmonic_70_db_down_is_read_to_half_a_decibel():
    """With noise 75 dB below the tone: 95 times in 100."""
    chance, found = np.random.default_rng(3), []
    clean = a_sine(0.5) + a_sine(0.5 * 10 ** (-70 / 20), 3000, 1.0)
    for _ in range(100):
        noise = 0.5 * 10 ** (-75 / 20) * chance.standard_normal(AT.size) / np.sqrt(2)
        found.append(tone(clean + noise, RATE_HZ, 1000).harmonic_db(3))
    assert sum(abs(level + 70) < 0.5 for level in found) >= 95


def test_harmonic_that_noise_hides_is_not_told():
    """40 dB of noise below the tone, 20 ms of it: nothing is there but the noise."""
    chance, told = np.random.default_rng(4), 0
    for _ in range(100):
        sine = tone(a_sine(0.5) + 0.005 * chance.standard_normal(AT.size), RATE_HZ, 1000)
        told += sine.harmonic_db(2) is not None
        told += sine.harmonics_db is not None
    assert told == 0


def test_harmonics_that_the_rate_does_not_carry_are_not_told():
    """Of 5 kHz at 48 kHz: 20 kHz is the last."""
    wave = a_sine(0.5, 5000) + a_sine(0.005, 20_000)
    sine = tone(wave + 1e-7 * np.random.default_rng(5).standard_normal(AT.size), RATE_HZ, 5000)
    assert sine.harmonic_db(4) == pytest.approx(-40, abs=0.01)
    assert sine.harmonic_db(5) is None
    assert sine.harmonics_db == pytest.approx(-40, abs=0.01)


def test_silence_has_no_level():
    sine = tone(np.zeros(4800), RATE_HZ, 1000)
    assert sine.dbfs == -np.inf
    assert sine.harmonic_db(2) is None
