"""Many frequencies and levels at once come to what `gear.audio.curves`, which is held against published
tables (tests/published/test_curves.py), says of one."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.curves import Band, Compressor, response_db
from gear.audio.proving.explaining.model import Dynamics, Filter, Gain, Model
from gear.audio.proving.explaining.predicting import GRID_HZ, Predictor, reduction

LEVELS = np.arange(-40.0, 11.0, 5.0)


def predicted(*parts, sweep_in=-60.0):
    predict = Predictor(Model(parts), LEVELS, sweep_in)
    made = predict(predict.logged)
    return made[: GRID_HZ.size], made[GRID_HZ.size :]


@pytest.mark.parametrize(
    "band",
    [
        Band("peak", 1000, 6, 2),
        Band("low shelf", 120, -4, 0.6),
        Band("high shelf", 7000, 3),
        Band("low cut", 80, order=3),
        Band("high cut", 9000, order=4),
    ],
)
def test_bands(band):
    made = Filter(band.shape, band.frequency_hz, band.gain_db, band.q, band.order)

    response, _ = predicted(made, Gain(3))

    assert response == pytest.approx(
        [3 + response_db([band], hertz) for hertz in GRID_HZ], abs=1e-9
    )


@given(
    threshold=st.floats(-40, 10),
    ratio=st.floats(1, 30),
    knee=st.one_of(st.just(0), st.floats(1, 20)),
)
def test_reduction(threshold, ratio, knee):
    one = Compressor(threshold, ratio, knee)

    made = reduction(LEVELS, threshold, 1 - 1 / ratio, knee)

    assert made == pytest.approx([one.reduction_db(level) for level in LEVELS], abs=1e-9)


def test_what_stands_before_a_compressor_drives_it():
    """[peak +6 at 1 kHz] -- [-20, 4:1, hard] -- [+5]: -10 in is -4 there, 16 over: 4 + 5 over -20."""
    _, curve = predicted(Filter("peak", 1000, 6, 1), Dynamics(-20, 4), Gain(5))

    assert curve[list(LEVELS).index(-10)] == pytest.approx(-20 + 16 / 4 + 5)


def test_sweep_above_the_threshold_is_taken_down_as_a_steady_tone_is():
    """At -10 in, 10 over -20 of 2:1: 5 dB less, and where a band of +6 stands, 8 dB of 16."""
    response, _ = predicted(Filter("peak", 1000, 6, 1), Dynamics(-20, 2), sweep_in=-10)

    middle = int(np.argmin(abs(GRID_HZ - 1000)))
    assert response[0] == pytest.approx(-5, abs=0.02)
    assert response[middle] == pytest.approx(6 - 8)


def test_limiter_lets_nothing_over_its_threshold():
    _, curve = predicted(Dynamics(-20, math.inf))

    assert curve.max() == pytest.approx(-20)
