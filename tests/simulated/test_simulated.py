"""The truth held against closed forms, since everything else is held against it."""

import numpy as np
import pytest

from gear.audio.proving.plan import Plan
from gear.audio.proving.result import HERTZ
from gear.audio.proving.signal import section_at
from tests.simulated import (
    CABLE,
    Chain,
    Compressor,
    Gain,
    HighPass,
    HighShelf,
    LowShelf,
    Peak,
    Polynomial,
    simulated_return,
    truth_of,
)

PLAN = Plan(48_000, -12.0)


@pytest.fixture(scope="module")
def returned():
    return simulated_return(PLAN, Chain(latency_samples=63 + 1 / 3, clock_ppm=25.0), 1)


def test_a_sweep_comes_back_as_it_stands_at_the_recorders_clock(returned):
    rate = PLAN.rate_hz * (1 + 25e-6)
    for sweep in PLAN.of("sweep"):
        at = np.arange(int((sweep.start_s + 0.05) * rate), int((sweep.end_s - 0.05) * rate))
        seconds = at / rate - (63 + 1 / 3) / PLAN.rate_hz - sweep.start_s
        wanted = section_at(PLAN, sweep, seconds) * 10 ** (PLAN.ceiling_dbfs / 20)
        assert np.abs(returned[at] - wanted).max() < np.abs(wanted).max() * 10 ** (-75 / 20)


def test_bands_reach_their_decibels():
    # Bristow-Johnson's cookbook: a peak's gain at its frequency, a shelf's half there and all beyond.
    low, bell, high = LowShelf(100, -6), Peak(1000, 4, 2), HighShelf(5000, 3)
    response = truth_of(PLAN, Chain((low,))).response_db
    assert response[0] == pytest.approx(-6, abs=0.05)
    at_corner = 20 * np.log10(abs(low.response(np.array([100.0]))))
    assert at_corner == pytest.approx(-3)
    assert truth_of(PLAN, Chain((bell, Gain(-1)))).at_1_khz_db == pytest.approx(3)
    assert truth_of(PLAN, Chain((high,))).response_db[-1] == pytest.approx(3, abs=0.05)
    # Butterworth: 3.01 dB down at the corner whatever the order.
    assert truth_of(PLAN, Chain((HighPass(1000, 3),))).at_1_khz_db == pytest.approx(
        -3.0103, abs=1e-4
    )


def test_harmonics_are_those_of_the_polynomial():
    # standards.md 15.4: second b A / 2 and third a A² / 4 against A + 3 a A³ / 4.
    truth = truth_of(PLAN, Chain((Polynomial(0.02, -0.05),)))
    a = 10 ** (-12 / 20)
    fundamental = 1 - 0.75 * 0.05 * a**2
    assert truth.harmonic_db(-12, 2) == pytest.approx(20 * np.log10(0.01 * a / fundamental))
    assert truth.harmonic_db(-12, 3) == pytest.approx(20 * np.log10(0.05 * a**2 / 4 / fundamental))


def test_a_compressor_holds_the_published_curve_and_times():
    # Giannoulis et al. 2012: with a release that is long against a half-wave the peak is the level.
    named = Compressor(-30, 4, 6, attack_ms=10, release_ms=1000, make_up_db=2)
    truth = truth_of(Plan(48_000, -12.0, release_s=1.0), Chain((Gain(3), named)))
    threshold, ratio, knee = truth.compression
    assert threshold == pytest.approx(-33, abs=0.05)
    assert ratio == pytest.approx(4, rel=0.01)
    assert knee == pytest.approx(6, abs=0.1)
    assert truth.gain_db(-52) == pytest.approx(5, abs=1e-6)
    assert truth.gain_db(-12) == pytest.approx(5 - 0.75 * 21, abs=0.02)
    attack, release, _ = truth.timing(1000)
    assert attack == pytest.approx(10, abs=0.5)
    # Cascaded with the attack (their equation 17), so a little longer than the release alone.
    assert release == pytest.approx(1010, rel=0.005)


def test_noise_is_white_and_weighted_as_published():
    quiet = simulated_return(PLAN, Chain((Gain(-200),), noise_dbfs=-70.0), 5)
    band = 20 * np.log10(quiet.std() * 2**0.5) + 10 * np.log10((20_000 - 20) / 24_000)
    assert band == pytest.approx(-70, abs=0.02)
    # White noise of 20 kHz weighs 2.05 dB less: IEC 61672-1's curve integrated.
    assert truth_of(PLAN, Chain((Gain(-200),), noise_dbfs=-70.0)).noise_a_dbfs == pytest.approx(
        -72.05, abs=0.01
    )


def test_a_cable_changes_nothing():
    truth = truth_of(PLAN, CABLE)
    assert np.abs(truth.response_db).max() == 0
    assert len(truth.response_db) == len(HERTZ)
