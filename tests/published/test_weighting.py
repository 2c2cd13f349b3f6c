"""A-weighting and preferred frequencies against the tables of their standards, and against scipy."""

import numpy as np
import pytest
from scipy import signal

from gear.audio.proving.preferred import THIRD_OCTAVES_HZ
from gear.audio.proving.result import HERTZ
from gear.audio.proving.silence import noise
from gear.audio.proving.weighting import POLES_HZ, a_weighting

#: The weighting's poles, as they are quoted everywhere.
QUOTED_HZ = (20.598997, 107.65265, 737.86223, 12194.217)

#: IEC 61672-1, as in the documentation of python-acoustics, acoustics.weighting, and on
#: lichtbeeldgeluid.nl/geluid/tabellen: from 12.5 Hz to 20 kHz.
TABLE_DB = """-63.4 -56.7 -50.5 -44.7 -39.4 -34.6 -30.2 -26.2 -22.5 -19.1 -16.1 -13.4 -10.9 -8.6 -6.6 -4.8 -3.2
-1.9 -0.8 0 0.6 1.0 1.2 1.3 1.2 1.0 0.5 -0.1 -1.1 -2.5 -4.3 -6.6 -9.3"""


def test_a_weighting_is_that_of_the_standards_table():
    """The table holds at the exact frequencies, to the tenth that it is printed to."""
    table = np.array(TABLE_DB.split(), float)
    exact = 1000 * 10 ** (np.arange(-19, 14) / 10)
    assert 20 * np.log10(a_weighting(exact)) == pytest.approx(table, abs=0.0501)


def test_poles_are_those_that_are_usually_quoted():
    """The standard gives the definition that they follow from."""
    assert list(POLES_HZ) == pytest.approx(list(QUOTED_HZ), rel=1e-7)


def test_a_weighting_is_that_of_scipy():
    """The analogue filter of the quoted poles, by scipy.signal: two double poles outside, four zeros at 0."""
    low, second, third, high = (2 * np.pi * pole for pole in QUOTED_HZ)
    hertz = np.geomspace(10, 40_000, 400)
    poles = [-low, -low, -second, -third, -high, -high]
    _, response = signal.freqs_zpk([0] * 4, poles, 1, 2 * np.pi * np.append(hertz, 1000))
    decibels = 20 * np.log10(np.abs(response))
    assert 20 * np.log10(a_weighting(hertz)) == pytest.approx(
        decibels[:-1] - decibels[-1], abs=1e-5
    )


def test_noise_weighted_is_what_scipys_filter_lets_through():
    """Noise that falls 3 dB an octave, filtered in time by the same poles (bilinear at 192 kHz, where the
    band up to 20 kHz is hardly warped) after a band pass that nothing of ours has made."""
    rate, chance = 192_000, np.random.default_rng(7)
    spectrum = np.fft.rfft(chance.standard_normal(3 * rate))
    hertz = np.fft.rfftfreq(3 * rate, 1 / rate)
    inside = (hertz >= 20) & (hertz <= 20_000)
    spectrum[~inside] = 0
    pink = 1e-2 * np.fft.irfft(spectrum / np.sqrt(np.maximum(hertz, 1)))

    low, second, third, high = (2 * np.pi * pole for pole in QUOTED_HZ)
    zpk = signal.bilinear_zpk([0] * 4, [-low, -low, -second, -third, -high, -high], 1, rate)
    sos = signal.zpk2sos(*zpk)
    at_1_khz = abs(signal.sosfreqz(sos, [1000], fs=rate)[1][0])
    weighted = signal.sosfilt(sos, pink)[rate // 4 :] / at_1_khz

    plain, by_ear, _ = noise(pink, rate)
    assert plain == pytest.approx(10 * np.log10(2 * np.mean(pink**2)), abs=0.05)
    assert by_ear == pytest.approx(10 * np.log10(2 * np.mean(weighted**2)), abs=0.05)


def test_third_octaves_have_the_names_of_iso_266():
    names = "20 25 31.5 40 50 63 80 100 125 160 200 250 315 400 500 630 800"
    low = [float(name) for name in names.split()]
    rest = [
        1000,
        1250,
        1600,
        2000,
        2500,
        3150,
        4000,
        5000,
        6300,
        8000,
        10_000,
        12_500,
        16_000,
        20_000,
    ]
    assert list(THIRD_OCTAVES_HZ) == low + rest


def test_response_is_told_at_every_third_octave():
    """IEC 61260-1, base ten: 1250 is 1258.925 Hz, 31.5 is 31.623, 20 kHz is 19 952.6; a name is the
    preferred number next to its frequency."""
    exact = [1000 * 10 ** (n / 10) for n in range(-17, 14)]
    assert (exact[2], exact[18], exact[-1]) == pytest.approx((31.6228, 1258.925, 19_952.62))
    assert list(THIRD_OCTAVES_HZ) == pytest.approx(exact, rel=0.012)
    for hertz in exact:
        assert min(abs(hertz - each) for each in HERTZ) < 1e-6
