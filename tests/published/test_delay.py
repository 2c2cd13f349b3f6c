"""Delay against published worked values and a standard's speed of sound."""

import math

import pytest

from gear.audio.delay import air_path_ms, round_trip_ms, samples_to_ms, speed_of_sound


def speed_by_iso_9613_1(celsius: float) -> float:
    """ISO 9613-1:1993: 343.2 m/s times the root of the temperature over 293.15 K, as the open library
    python-acoustics has it (python-acoustics.github.io, acoustics.standards.iso_9613_1_1993)."""
    return 343.2 * math.sqrt((celsius + 273.15) / 293.15)


def test_128_samples_at_48_khz():
    """As a tutorial of proshouters.com has it: 2.67 ms."""
    assert samples_to_ms(128, 48000) == pytest.approx(2.67, abs=0.005)


def test_round_trip_of_128_samples():
    """A calculation published at livelooping.org: in and out at 44.1 kHz take 5.8 ms."""
    assert round_trip_ms(128, 44100) == pytest.approx(5.8, abs=0.01)


@pytest.mark.parametrize(("celsius", "speed"), [(20, 343.42), (0, 331.3), (-15, 322.21)])
def test_speed_of_sound(celsius, speed):
    """superglobalcalculator.com/formulas/acoustics/speed-of-sound, in dry air."""
    assert speed_of_sound(celsius) == pytest.approx(speed, abs=0.005)


@pytest.mark.parametrize("celsius", range(-15, 26, 5))
def test_speed_of_sound_of_the_standard(celsius):
    assert speed_of_sound(celsius) == pytest.approx(speed_by_iso_9613_1(celsius), rel=1e-3)


@pytest.mark.parametrize("metres", [0.2, 1, 3, 10])
def test_air_path_by_the_standard_s_speed(metres):
    assert air_path_ms(metres) == pytest.approx(1000 * metres / speed_by_iso_9613_1(20), rel=1e-3)
