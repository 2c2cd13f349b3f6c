import pytest

from gear.audio.level_text import level_text, parse_level


@pytest.mark.parametrize(
    ("typed", "dbu"),
    [
        ("+4", 4),
        ("4 dBu", 4),
        ("−20 dbu", -20),
        ("−14 dBFS", 4),
        ("0 dBfs", 18),
        ("-10 dBV", -7.7815),
        ("1.2277 V", 4.0003),
        ("775 mV", 0.0045),
        ("+ 4,5 dBu", 4.5),
        ("−14,0 dBFS", 4),
    ],
)
def test_level_is_read_in_the_unit_of_its_meter(typed, dbu):
    assert parse_level(typed, full_scale_dbu=18) == pytest.approx(dbu, abs=1e-3)


@pytest.mark.parametrize("typed", ["loud", "", "4 dB SPL", "-14 LUFS", "0 V", "+1 dBFS"])
def test_nonsense_is_refused_with_what_would_be_understood(typed):
    with pytest.raises(ValueError, match=r"dBu|dBFS"):
        parse_level(typed, full_scale_dbu=18)


def test_level_is_written_to_a_tenth():
    assert [level_text(dbu) for dbu in (4.04, -52.38, 0)] == ["+4.0 dBu", "−52.4 dBu", "0.0 dBu"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("-∞", "No signal has no level in figures"),
        ("- inf dB", "No signal has no level in figures"),
        ("off", "No signal has no level in figures"),
        ("1,250", "What the comma in “1,250” means is not clear"),
    ],
)
def test_what_is_wrong_is_named(typed, said):
    with pytest.raises(ValueError, match=said):
        parse_level(typed, full_scale_dbu=18)
