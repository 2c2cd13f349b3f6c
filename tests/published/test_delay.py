"""Delay against published worked values and the physics of sound in air."""

import math

import pytest

from gear.audio.delay import air_path_ms, round_trip_ms, samples_to_ms, speed_of_sound


@pytest.mark.parametrize(
    ("samples", "rate", "ms"),
    [
        (32, 44100, 0.7256),
        (32, 48000, 0.6667),
        (64, 44100, 1.4512),
        (64, 48000, 1.3333),
        (64, 96000, 0.6667),
        (128, 44100, 2.9025),
        (128, 48000, 2.6667),  # also as published by an audio tutorial
        (128, 96000, 1.3333),
        (256, 44100, 5.8050),
        (256, 48000, 5.3333),
        (512, 48000, 10.6667),
        (1024, 48000, 21.3333),
    ],
)
def test_samples_to_ms_table(samples, rate, ms):
    """t = 1000 n / fs."""
    assert samples_to_ms(samples, rate) == pytest.approx(ms, abs=6e-5)


def test_round_trip_of_128_samples():
    """A published loop-recording calculation: in and out at 44.1 kHz take 5.8 ms."""
    assert round_trip_ms(128, 44100) == pytest.approx(5.8, abs=0.01)


@pytest.mark.parametrize(("celsius", "speed"), [(20, 343.42), (0, 331.3), (-15, 322.21)])
def test_speed_of_sound(celsius, speed):
    """c = 331.3 + 0.606 T in dry air, as tabulated."""
    assert speed_of_sound(celsius) == pytest.approx(speed, abs=0.005)


@pytest.mark.parametrize("celsius", range(-15, 26, 5))
def test_speed_of_sound_against_the_root_form(celsius):
    """An ideal gas: 331.3 sqrt(1 + T / 273.15); the two differ by less than 0.1 %."""
    assert speed_of_sound(celsius) == pytest.approx(
        331.3 * math.sqrt(1 + celsius / 273.15), rel=1e-3
    )


@pytest.mark.parametrize(("metres", "ms"), [(0.3, 0.8736), (1, 2.9119), (3, 8.7357), (10, 29.119)])
def test_air_path_at_20_degrees(metres, ms):
    """Computed from c = 343.42 m/s."""
    assert air_path_ms(metres) == pytest.approx(ms, rel=5e-5)
