"""Harmonics as they are read from a sine, against closed forms and tables of what bends it."""

import math

import numpy as np
import pytest
from numpy.polynomial import chebyshev
from scipy import integrate, signal

from gear.audio.proving.steady import LAST_HARMONIC, tone

#: High, and no multiple of the tone, so that what folds down lies low and beside the harmonics.
RATE_HZ, HERTZ = 1_919_953, 1000.0
#: As long as what is read of a stair.
ANGLE = 2 * np.pi * HERTZ * np.arange(round(0.24 * RATE_HZ)) / RATE_HZ


@pytest.mark.parametrize("amplitude", [1.0, 0.5, 0.25])
def test_square_and_cube_give_the_second_and_third_harmonic(amplitude):
    """y = x + b x² + a x³ on A sin: fundamental A + 3 a A³/4, second b A²/2, third a A³/4; by the
    powers of a sine, which every table of trigonometric identities has."""
    square, cube = 0.02, -0.03
    x = amplitude * np.sin(ANGLE)
    sine = tone(x + square * x**2 + cube * x**3, RATE_HZ, HERTZ)
    fundamental = amplitude + 3 * cube * amplitude**3 / 4
    assert sine.amplitude == pytest.approx(fundamental, rel=1e-6)
    second, third = square * amplitude**2 / 2, abs(cube) * amplitude**3 / 4
    assert sine.harmonic_db(2) == pytest.approx(20 * math.log10(second / fundamental), abs=0.01)
    assert sine.harmonic_db(3) == pytest.approx(20 * math.log10(third / fundamental), abs=0.01)


def test_harmonics_of_chebyshevs_polynomials_are_what_they_were_made_of():
    """T_n(cos t) = cos n t: NIST Digital Library of Mathematical Functions, 18.5.1; by numpy."""
    levels = [-40, -70, -55, -90, -60, -65, -75, -80, -50]
    shape = [0, 1, *(10 ** (level / 20) for level in levels)]
    sine = tone(chebyshev.chebval(np.cos(ANGLE), shape), RATE_HZ, HERTZ)
    found = [sine.harmonic_db(number) for number in range(2, LAST_HARMONIC + 1)]
    assert found == pytest.approx(levels, abs=0.01)
    together = 10 * math.log10(sum(10 ** (level / 10) for level in levels))
    assert sine.harmonics_db == pytest.approx(together, abs=0.01)


def test_square_wave_has_odd_harmonics_that_fall_as_one_over_n():
    """Fundamental 4/pi; all harmonics together are sqrt(pi²/8 - 1) = 48.34 % of it (Wikipedia, "Total
    harmonic distortion", examples): those up to the tenth are read one by one, the others are what is left."""
    wave = signal.square(ANGLE)
    sine = tone(wave, RATE_HZ, HERTZ)
    assert sine.amplitude == pytest.approx(4 / math.pi, rel=1e-4)
    for number in (3, 5, 7, 9):
        assert sine.harmonic_db(number) == pytest.approx(-20 * math.log10(number), abs=0.01)
    odd = sum(1 / number**2 for number in (3, 5, 7, 9))
    assert sine.harmonics_db == pytest.approx(10 * math.log10(odd), abs=0.01)
    assert _distortion(wave, sine.amplitude) == pytest.approx(0.4834, abs=0.0005)


def test_triangle_has_odd_harmonics_that_fall_as_one_over_n_squared():
    """Fundamental 8/pi²; all harmonics together are sqrt(pi^4/96 - 1) = 12.12 % of it (as above)."""
    wave = signal.sawtooth(ANGLE, width=0.5)
    sine = tone(wave, RATE_HZ, HERTZ)
    assert sine.amplitude == pytest.approx(8 / math.pi**2, rel=1e-6)
    for number in (3, 5, 7, 9):
        assert sine.harmonic_db(number) == pytest.approx(-40 * math.log10(number), abs=0.01)
    assert _distortion(wave, sine.amplitude) == pytest.approx(0.1212, abs=0.0002)


@pytest.mark.parametrize("share", [0.95, 0.7, 0.3])
def test_clipped_sine_is_that_of_its_fourier_integral(share):
    """Clipped at a share c of its amplitude, the fundamental is (2/pi)(t + c cos t) with t = arcsin c;
    its harmonics by scipy.integrate."""
    sine = tone(np.clip(np.sin(ANGLE), -share, share), RATE_HZ, HERTZ)
    corner = math.asin(share)
    fundamental = 2 / math.pi * (corner + share * math.cos(corner))
    assert sine.amplitude == pytest.approx(fundamental, rel=1e-5)
    for number in (3, 5):
        part, _ = integrate.quad(
            lambda t, n=number: min(math.sin(t), share) * math.sin(n * t),
            0,
            math.pi / 2,
            points=[corner],
        )
        level = 20 * math.log10(abs(4 / math.pi * part) / fundamental)
        assert sine.harmonic_db(number) == pytest.approx(level, abs=0.02)


def _distortion(wave: np.ndarray, fundamental: float) -> float:
    """All harmonics against the fundamental: the power that is left over."""
    return math.sqrt(2 * np.mean(wave**2) / fundamental**2 - 1)
