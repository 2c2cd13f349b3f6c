"""Phantom power P48 against IEC 61938:2018: 48 V through equal feed resistors of 6.8 kilohms.

The values are computed from that circuit with the close-tolerance part, 6.81 kilohms.
"""

import pytest

from gear.audio.phantom import (
    P48_FEED_OHMS,
    P48_MAX_POWER_MW,
    P48_SHORT_CIRCUIT_MA,
    P48_VOLTS,
    p48_power_at,
    p48_voltage_at,
)


def test_p48_supply_and_feed_resistors():
    """IEC 61938:2018: 48 V, 6.8 kilohms in each leg."""
    assert P48_VOLTS == 48
    assert pytest.approx(6800, rel=0.005) == P48_FEED_OHMS


@pytest.mark.parametrize(("current", "volts"), [(0, 48), (2, 41.19), (5, 30.975), (10, 13.95)])
def test_voltage_left_at_the_microphone(current, volts):
    """10 mA, the most a P48 microphone may draw (from memory), leaves 13.95 V."""
    assert p48_voltage_at(current) == pytest.approx(volts, abs=0.005)


def test_short_circuit_current():
    """A trade encyclopedia gives "< 15 mA" with both legs shorted; the circuit gives 14.1."""
    assert pytest.approx(14.1, abs=0.05) == P48_SHORT_CIRCUIT_MA
    assert p48_voltage_at(P48_SHORT_CIRCUIT_MA) == pytest.approx(0, abs=1e-9)


def test_available_power():
    """Maximum power transfer, V^2 / 4R: 169 mW, not the 240 mW sometimes quoted."""
    assert pytest.approx(169, abs=0.5) == P48_MAX_POWER_MW
    assert p48_power_at(P48_SHORT_CIRCUIT_MA / 2) == pytest.approx(P48_MAX_POWER_MW)
