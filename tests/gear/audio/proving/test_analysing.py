"""Returns of simulated chains, whose truth is known (`tests/simulated/`)."""

import numpy as np
import pytest

from gear.audio.proving.analysing import analyse
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import HERTZ
from tests.simulated import CABLE, Chain, Gain, HighPass, Peak, simulated_return, truth_of

PLAN = Plan(48_000, -12.0)
READ_HZ = np.array(HERTZ) <= 18_000


@pytest.fixture(scope="module")
def equalised():
    chain = Chain(
        (Gain(6.0), HighPass(80, 2), Peak(3000, -4, 2)),
        polarity=-1,
        latency_samples=71.6,
        clock_ppm=37.0,
        noise_dbfs=-80,
    )
    return truth_of(PLAN, chain), analyse(PLAN, simulated_return(PLAN, chain, 1), 48_000)


def test_response_of_an_equaliser(equalised):
    truth, result = equalised

    assert result.response_level_db == -10
    assert np.abs(np.array(result.response_db) - truth.response_db)[READ_HZ].max() < 0.05


def test_gain_clock_and_polarity_of_an_equaliser(equalised):
    truth, result = equalised

    assert result.gain_db == pytest.approx(truth.at_1_khz_db, abs=0.005)
    assert result.clock_ppm == pytest.approx(37.0, abs=0.01)
    assert result.polarity == -1


def test_latency_of_a_cable():
    result = analyse(PLAN, simulated_return(PLAN, CABLE, 1), 48_000)

    assert result.latency_samples == pytest.approx(CABLE.latency_samples, abs=0.1)
    assert result.polarity == 1
