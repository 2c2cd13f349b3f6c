"""Hum in a response: a line is carried on to the centre, noise is not."""

import numpy as np
import pytest

from gear.audio.proving.humming import QUIET_S, hum_and_noise

HERTZ = 100 * 1.03 ** np.arange(21)
SECONDS = np.array(QUIET_S)[:, None]
CENTRE = 10


def noise(size, seed=1):
    parts = np.random.default_rng(seed).standard_normal((2, len(QUIET_S), HERTZ.size))
    return size / np.sqrt(2) * (parts[0] + 1j * parts[1])


@pytest.mark.parametrize("off_hz", [0.0, 0.4, -1.1, 2.2, 6.0])
def test_line_is_known_at_the_centre_however_far_it_lies_from_the_frequency(off_hz):
    line, read = np.exp(0.7j), noise(0.01)
    read[:, CENTRE] += (line * np.exp(2j * np.pi * off_hz * SECONDS))[:, 0]

    hum, left = hum_and_noise(read)

    assert abs(hum[CENTRE] - line) < 0.06
    assert left[CENTRE] < 0.05
    assert np.count_nonzero(hum) == 1


def test_line_that_wavers_is_noise():
    read, wavering = noise(0.01), np.exp(1j * np.array([0.0, 2.0, 1.0, 3.0, 0.5]))
    read[:, CENTRE] += wavering

    hum, left = hum_and_noise(read)

    assert hum[CENTRE] == 0
    assert left[CENTRE] == pytest.approx(1.0, abs=0.05)


def test_noise_is_told_as_large_as_it_is():
    found = [hum_and_noise(noise(0.2, seed)) for seed in range(20)]

    assert np.mean([left for _, left in found]) == pytest.approx(0.2, rel=0.1)
    assert not any(hum.any() for hum, _ in found)
