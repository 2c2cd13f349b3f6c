import pytest

from gear.audio.phantom import phantom_advice


@pytest.mark.parametrize(
    ("need", "is_on", "severity", "sentence"),
    [
        ("needed", True, "ok", "as this needs it"),
        ("needed", False, "warning", "it will give no signal. Plug the cable in first"),
        ("harmless", True, "note", "not needed here. Turn headphones and monitors down"),
        ("harmless", False, "ok", "not needed here."),
        ("harmful", True, "warning", "can damage this. Switch it off"),
        ("harmful", False, "ok", "must stay off"),
    ],
)
def test_phantom_advice_by_need_and_switch(need, is_on, severity, sentence):
    advice = phantom_advice(need, is_on)

    assert advice.severity == severity
    assert sentence in advice.sentence


def test_advice_to_switch_48_v_off_defers_to_the_maker():
    assert "maker’s instructions" in phantom_advice("harmful", True).sentence
