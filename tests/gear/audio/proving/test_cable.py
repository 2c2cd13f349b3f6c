"""What a cable in place of the chain shows is the converters' own."""

import pytest

from gear.audio.proving.cable import less_cable
from tests.factories import result_of


def test_latency_gain_and_polarity_of_the_converters_are_taken_off():
    """Reading 0.5 dB low, turned over, and 64 samples late without anything in between."""
    cable = result_of(latency_samples=64.25, gain_db=-0.5, polarity=-1)
    chain = result_of(latency_samples=70.75, gain_db=11.5, polarity=-1, curve=((-50, -38.5),))

    found = less_cable(chain, cable)

    assert (found.latency_samples, found.gain_db, found.polarity) == (6.5, 12, 1)
    assert found.curve == ((-50, -38),)
    assert set(found.response_db) == {0.5}
    assert found.noise_dbfs == chain.noise_dbfs


def test_what_cannot_be_told_stays_so():
    found = less_cable(result_of(gain_db=None, polarity=None, response_db=(None,)), result_of())

    assert (found.gain_db, found.polarity, found.response_db) == (None, None, (None,))


def test_cable_of_another_rate_is_refused():
    with pytest.raises(ValueError, match="96000 Hz"):
        less_cable(result_of(), result_of(rate_hz=96_000))
