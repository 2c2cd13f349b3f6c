"""Noise and hum, of silences that are known."""

import numpy as np
import pytest

from gear.audio.proving.silence import noise

RATE_HZ = 48_000


def white(dbfs: float, seed: int, seconds: float = 2.8) -> np.ndarray:
    """As much in all from 20 Hz to 20 kHz, a full-scale sine's power being 0 dBFS."""
    share = (20_000 - 20) / (RATE_HZ / 2)
    size = 10 ** (dbfs / 20) / np.sqrt(2 * share)
    return size * np.random.default_rng(seed).standard_normal(round(seconds * RATE_HZ))


def hum(count: int, *lines: tuple[float, float]) -> np.ndarray:
    at = np.arange(count) / RATE_HZ
    return sum(10 ** (dbfs / 20) * np.sin(2 * np.pi * hertz * at) for hertz, dbfs in lines)


@pytest.mark.parametrize("dbfs", [-40, -75, -110])
def test_white_noise_is_read_to_a_tenth_of_a_decibel(dbfs):
    for seed in range(10):
        plain, by_ear, lines = noise(white(dbfs, seed), RATE_HZ)
        assert plain == pytest.approx(dbfs, abs=0.1)
        # Of white noise from 20 Hz to 20 kHz the weighting takes 2.04 dB: by the integral of its formula.
        assert by_ear == pytest.approx(dbfs - 2.04, abs=0.1)
        assert lines == ()


def test_what_is_not_heard_does_not_count():
    """A direct part, a slow sway at 3 Hz, a whistle at 22 kHz."""
    quiet = white(-80, 1)
    loud = quiet + 0.1 + hum(quiet.size, (3, -30), (22_000, -30))
    assert noise(loud, RATE_HZ)[0] == pytest.approx(-80, abs=0.1)


def test_hum_is_told_line_by_line_and_is_part_of_the_noise():
    silence = white(-80, 2)
    silence += hum(silence.size, (50, -70), (100, -95), (150, -82))
    plain, _, lines = noise(silence, RATE_HZ)
    assert plain == pytest.approx(10 * np.log10(1e-8 + 1e-7 + 10**-9.5 + 10**-8.2), abs=0.1)
    assert [hertz for hertz, _ in lines] == [50, 100, 150]
    assert [dbfs for _, dbfs in lines] == pytest.approx([-70, -95, -82], abs=0.5)


def test_mains_may_stray_and_be_of_60_hz():
    silence = white(-80, 3)
    silence += hum(silence.size, (59.9, -75), (179.7, -85))
    _, _, lines = noise(silence, RATE_HZ)
    assert [hertz for hertz, _ in lines] == [60, 180]
    assert [dbfs for _, dbfs in lines] == pytest.approx([-75, -85], abs=0.5)


def test_digital_silence_has_the_noise_of_24_bits_and_no_less():
    """A path without converters gives nothing at all: -146.3 dBFS is what rounding to 24 bits makes, by
    6.02 · 24 + 1.76 dB (the textbook figure for a full-scale sine)."""
    level, weighted, hum = noise(np.zeros(96_000), 48_000)

    assert level == weighted == pytest.approx(-(6.0206 * 24 + 1.7609), abs=0.01)
    assert hum == ()
