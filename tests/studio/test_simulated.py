"""What the demo simulates is read as what it is said to do."""

from functools import cache

import numpy as np
import pytest

from gear.audio.curves import Band, Compressor, response_db
from gear.audio.proving.analysing import analyse
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import HERTZ
from studio.demo.simulated import CLOCK_PPM, Holds, simulated_return

PLAN = Plan(44_100, -10.0, 0.25)
BANDS = (Band("low shelf", 95, 3.0), Band("peak", 2000, -4.0, 1.2))


@cache
def returned() -> np.ndarray:
    """The ceiling, -12 dBu, comes to +12 dBu at the compressor."""
    stages = [24.0, BANDS, Holds(Compressor(-6.0, 2.5, 0.0, 3.0), 20.0, 250.0)]
    return simulated_return(PLAN, stages, fed_dbu=-12.0, full_scale_dbu=18.0, samples_late=92)


def test_simulated_chain_is_measured_as_it_was_set():
    found = analyse(PLAN, returned(), 44_100)

    pad = 20.0  # between 0 dBFS at +18 dBu, less 10 dB, and -12 dBu where it is fed in
    gains = np.array(found.response_db)
    drawn = np.array([response_db(BANDS, hertz) for hertz in HERTZ])
    inside = (np.array(HERTZ) > 30) & (np.array(HERTZ) < 18_000)
    assert gains[inside] + pad - 27.0 == pytest.approx(drawn[inside], abs=0.1)
    at_1_khz = response_db(BANDS, 1000)
    assert found.compression.threshold_dbfs - 2.0 == pytest.approx(-30.0 - at_1_khz, abs=0.3)
    assert found.compression.ratio == pytest.approx(2.5, rel=0.05)
    assert found.timings[0].attack_ms == pytest.approx(20, rel=0.15)
    assert found.timings[0].release_ms == pytest.approx(250, rel=0.05)
    assert found.clock_ppm == pytest.approx(CLOCK_PPM, abs=0.02)
    assert found.polarity == 1
    assert found.faults == ()
