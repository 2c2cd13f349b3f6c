import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.phantom import (
    P48_MAX_POWER_MW,
    P48_SHORT_CIRCUIT_MA,
    PhantomNeed,
    p48_power_at,
    p48_voltage_at,
    phantom_advice,
)

currents = st.floats(min_value=0, max_value=P48_SHORT_CIRCUIT_MA)


@given(currents)
def test_no_current_draws_more_than_the_supply_can_give(current):
    assert 0 <= p48_power_at(current) <= P48_MAX_POWER_MW + 1e-9


@given(currents, currents)
def test_voltage_falls_as_current_rises(a, b):
    low, high = sorted((a, b))

    assert p48_voltage_at(high) <= p48_voltage_at(low)


@pytest.mark.parametrize("current", [-0.1, 14.2])
def test_p48_refuses_what_the_supply_cannot_give(current):
    with pytest.raises(ValueError, match=r"from 0 to 14\.1 mA"):
        p48_voltage_at(current)


@pytest.mark.parametrize(
    ("need", "is_on", "severity", "sentence"),
    [
        ("needed", True, "ok", "as this needs it"),
        ("needed", False, "warning", "it will give no signal. Plug the cable in first"),
        ("harmless", True, "note", "not needed here. Turn headphones and monitors down"),
        ("harmless", False, "ok", "not needed here."),
        (PhantomNeed.HARMFUL, True, "warning", "can damage this. Switch it off"),
        (PhantomNeed.HARMFUL, False, "ok", "must stay off"),
    ],
)
def test_phantom_advice_by_need_and_switch(need, is_on, severity, sentence):
    advice = phantom_advice(need, is_on)

    assert advice.severity == severity
    assert sentence in advice.sentence


def test_advice_to_switch_48_v_off_defers_to_the_maker():
    assert "maker’s instructions" in phantom_advice("harmful", True).sentence


def test_phantom_advice_refuses_an_unknown_need():
    with pytest.raises(ValueError, match="perhaps"):
        phantom_advice("perhaps", True)
