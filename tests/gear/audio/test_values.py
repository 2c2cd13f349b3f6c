import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gear.audio.dial import Dial, Mark
from gear.audio.marks import marks_from_text
from gear.audio.values import expected, format_value, parse_value, plain_number, setting_text
from tests.gear.audio.panels import dials, engraved_dials

UNITS = ["", "dB", "dBu", "Hz", "kHz", "ms", "s", "Ω", "mV", "mm", "%", ":1", "degrees"]


def _dial(text, kind="continuous", unit="", scale="linear"):
    return Dial(marks_from_text(text, kind, unit), kind, scale)


FREQUENCY = _dial("20 @ 7:00, 200 @ 10:00, 2k2 @ 1:30, 20k @ 5:00", unit="Hz", scale="log")
GAIN = _dial("-20 @ 7:00, 0 @ 12:00, +20 @ 5:00 = max", unit="dB")
RATIO = _dial("1.5 @ 7:00, 4:1 @ 10:00, 20:1 @ 3:00, 100 @ 5:00 = ∞:1", unit=":1")
ATTACK = _dial("0.1 @ 7:00, 100 @ 5:00", unit="ms", scale="log")
FADER = _dial("-90 @ 0% = -∞, 0 @ 75%, +10 @ 100%", "slider", "dB")
WIDTH = _dial("0 @ 0%, 200 @ 100%", "slider", "%")
BARE_FADER = _dial("-80 @ 0% = ∞, 0 @ 75%, +10 @ 100%", "slider", "dB")
FILTER = _dial("0 @ 10:00 = off, 80 @ 12:00, 2k2 @ 2:00", "stepped", "Hz")
SWITCH = _dial("0 = out, 1 = in", "switch")
REDUCTION = Dial((), "reading")
NEEDLE = _dial("0 @ 2:00, 20 @ 10 past 2", "reading", "dB")


@pytest.mark.parametrize(
    ("text", "dial", "unit", "value"),
    [
        ("2k2", FREQUENCY, "Hz", 2200),
        ("2k2 Hz", FREQUENCY, "Hz", 2200),
        ("2.2 kHz", FREQUENCY, "Hz", 2200),
        ("2.2KHZ", FREQUENCY, "Hz", 2200),
        ("2200", FREQUENCY, "Hz", 2200),
        (" 2200 hz ", FREQUENCY, "Hz", 2200),
        (".2k", FREQUENCY, "Hz", 200),
        ("13:30", FREQUENCY, "Hz", 2200),
        ("half past 1", FREQUENCY, "Hz", 2200),
        ("1 o'clock", FREQUENCY, "Hz", 1560),
        ("+3", GAIN, "dB", 3),
        ("-6 dB", GAIN, "dB", -6),
        ("−6\u00a0dB", GAIN, "dB", -6),
        ("MAX", GAIN, "dB", 20),
        ("1 o'clock", GAIN, "dB", 4),
        ("4:1", RATIO, ":1", 4),
        ("4", RATIO, ":1", 4),
        ("2.5 : 1", RATIO, ":1", 2.5),
        ("∞:1", RATIO, ":1", 100),
        ("10:00", RATIO, ":1", 4),
        ("0.1 s", ATTACK, "ms", 100),
        ("500 us", ATTACK, "ms", 0.5),
        ("500 μs", ATTACK, "ms", 0.5),
        ("10ms", ATTACK, "ms", 10),
        ("-∞", FADER, "dB", -90),
        ("−∞", FADER, "dB", -90),
        ("75 %", FADER, "dB", 0),
        ("75 %", WIDTH, "%", 75),
        ("OFF", FILTER, "Hz", 0),
        ("80", FILTER, "Hz", 80),
        ("2.2 kHz", FILTER, "Hz", 2200),
        ("quarter to 2", FILTER, "Hz", 2200),
        ("In", SWITCH, "", 1),
        ("0", SWITCH, "", 0),
        ("3.5 dB", REDUCTION, "dB", 3.5),
        ("3k", REDUCTION, "", 3000),
        ("4.7 kohm", REDUCTION, "Ω", 4700),
        ("2k2", REDUCTION, "kHz", 2.2),
        ("20", NEEDLE, "dB", 20),
        ("3,2 kHz", FREQUENCY, "Hz", 3200),
        ("3,2k", FREQUENCY, "Hz", 3200),
        ("0,125 s", REDUCTION, "s", 0.125),
        (",5", REDUCTION, "dB", 0.5),
        ("+ 3", GAIN, "dB", 3),
        ("− 3,5 dB", GAIN, "dB", -3.5),
        ("+\u00a03\u202fdB", GAIN, "dB", 3),
        ("1 200 Hz", FREQUENCY, "Hz", 1200),
        ("1.2k", FREQUENCY, "Hz", 1200),
        ("3k2", FREQUENCY, "Hz", 3200),
        ("-inf", FADER, "dB", -90),
        ("-∞ dB", FADER, "dB", -90),
        ("- INF dB", FADER, "dB", -90),
        ("off", FADER, "dB", -90),
        ("Off", BARE_FADER, "dB", -80),
        ("-inf", BARE_FADER, "dB", -80),
        ("inf", RATIO, ":1", 100),
        ("∞", RATIO, ":1", 100),
        ("inf:1", RATIO, ":1", 100),
        ("62,5 %", FADER, "dB", -15),
    ],
)
def test_parse_value_understands_how_engineers_write(text, dial, unit, value):
    assert parse_value(text, dial, unit) == value


KNOB_HINT = "or a clock position such as 1 o’clock or 13:30."


@pytest.mark.parametrize(
    ("text", "dial", "unit", "sentence"),
    [
        (
            "loud",
            GAIN,
            "dB",
            f"“loud” is not understood here. Write a value from −20 dB to +20 dB, {KNOB_HINT}",
        ),
        (
            "",
            GAIN,
            "dB",
            f"“” is not understood here. Write a value from −20 dB to +20 dB, {KNOB_HINT}",
        ),
        (
            "-6 dBu",
            GAIN,
            "dB",
            f"“-6 dBu” is not understood here. Write a value from −20 dB to +20 dB, {KNOB_HINT}",
        ),
        (
            "30",
            GAIN,
            "dB",
            f"30 dB is outside this control. Write a value from −20 dB to +20 dB, {KNOB_HINT}",
        ),
        (
            "25:00",
            GAIN,
            "dB",
            f"25:00 is not a clock position. Write an hour and minutes, such as 1:30 or 13:30. Write a value from −20 dB to +20 dB, {KNOB_HINT}",
        ),
        (
            "6:30",
            FREQUENCY,
            "Hz",
            f"6:30 is outside this control, which runs from 7:00 to 5:00. Write a value from 20 Hz to 20 kHz, {KNOB_HINT}",
        ),
        (
            "30k",
            FREQUENCY,
            "Hz",
            f"30 kHz is outside this control. Write a value from 20 Hz to 20 kHz, {KNOB_HINT}",
        ),
        (
            "5 s",
            FREQUENCY,
            "Hz",
            f"“5 s” is not understood here. Write a value from 20 Hz to 20 kHz, {KNOB_HINT}",
        ),
        (
            "0",
            RATIO,
            ":1",
            f"0:1 is outside this control. Write a value from 1.5:1 to ∞:1, {KNOB_HINT}",
        ),
        (
            "1:30",
            FADER,
            "dB",
            "“1:30” is not understood here. Write a value from -∞ to +10 dB, or the travel such as 60 %.",
        ),
        (
            "120 %",
            FADER,
            "dB",
            "120 % of travel is outside this control, which runs from 0 % of travel to 100 % of travel. Write a value from -∞ to +10 dB, or the travel such as 60 %.",
        ),
        ("300 %", WIDTH, "%", "300 % is outside this control. Write a value from 0 % to 200 %."),
        ("maybe", SWITCH, "", "“maybe” is not understood here. Write one of: out, in."),
        ("1:30", SWITCH, "", "“1:30” is not understood here. Write one of: out, in."),
        (
            "100",
            FILTER,
            "Hz",
            "There is no position for 100 Hz. Write one of: off, 80 Hz, 2.2 kHz.",
        ),
        (
            "loud",
            REDUCTION,
            "dB",
            "“loud” is not understood here. Write the reading, such as 3 dB.",
        ),
        (
            "9" * 400,
            REDUCTION,
            "dB",
            f"“{'9' * 400}” is not understood here. Write the reading, such as 3 dB.",
        ),
        ("1 m", REDUCTION, "", "“1 m” is not understood here. Write the reading, such as 3."),
        ("30", NEEDLE, "dB", "30 dB is outside this control. Write a value from 0 dB to 20 dB."),
        (
            "-inf",
            REDUCTION,
            "dB",
            "“-inf” is no mark of this control. Write the reading, such as 3 dB.",
        ),
        (
            "off",
            NEEDLE,
            "dB",
            "“off” is no mark of this control. Write a value from 0 dB to 20 dB.",
        ),
        (
            "1,250 Hz",
            FREQUENCY,
            "Hz",
            "What the comma in “1,250 Hz” means is not clear: write a point before decimals, and "
            f"nothing between thousands. Write a value from 20 Hz to 20 kHz, {KNOB_HINT}",
        ),
        (
            "1,250.5",
            REDUCTION,
            "",
            "What the comma in “1,250.5” means is not clear: write a point before decimals, and "
            "nothing between thousands. Write the reading, such as 3.",
        ),
        (
            "inf",
            FADER,
            "dB",
            "“inf” is no mark of this control. Write a value from -∞ to +10 dB, or the travel such as 60 %.",
        ),
    ],
)
def test_parse_value_says_what_it_would_understand(text, dial, unit, sentence):
    with pytest.raises(ValueError, match="Write") as refusal:
        parse_value(text, dial, unit)

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (2200, "Hz", "2.2 kHz"),
        (999.5, "Hz", "999.5 Hz"),
        (0.8, "kHz", "0.8 kHz"),
        (2_000_000, "Hz", "2 MHz"),
        (1500, "ms", "1.5 s"),
        (0.5, "ms", "0.5 ms"),
        (3600, "s", "3600 s"),
        (3, "dB", "+3 dB"),
        (0, "dB", "0 dB"),
        (-0.0, "dB", "0 dB"),
        (-6, "dB", "−6 dB"),
        (4, "dBu", "+4.0 dBu"),
        (1000, "dB", "+1000 dB"),
        (4, ":1", "4:1"),
        (7.5, "", "7.5"),
        (1e-7, "", "0.0000001"),
        (60, "%", "60 %"),
        (45, "degrees", "45 degrees"),
    ],
)
def test_format_value_is_canonical(value, unit, text):
    assert format_value(value, unit) == text


def test_format_value_writes_the_word_at_a_position():
    assert format_value(0, "Hz", FILTER.marks) == "off"
    assert format_value(80, "Hz", FILTER.marks) == "80 Hz"
    assert format_value(1, "", (Mark(0, 0, "out"), Mark(1, 1, ""))) == "1"


@pytest.mark.parametrize(
    ("value", "dial", "unit", "text"),
    [
        (20, GAIN, "dB", "+20 dB"),
        (3, REDUCTION, "dB", "3 dB"),
        (4, REDUCTION, "dBu", "+4.0 dBu"),
        (20, NEEDLE, "dB", "20 dB"),
        (100, RATIO, ":1", "∞:1"),
        (-90, FADER, "dB", "-∞"),
        (1, SWITCH, "", "in"),
    ],
)
def test_setting_text_knows_the_control(value, dial, unit, text):
    assert setting_text(value, dial, unit) == text


@settings(max_examples=500)
@given(st.floats(min_value=-1e12, max_value=1e12), st.sampled_from(UNITS))
def test_every_written_value_reads_back_exactly(value, unit):
    assert parse_value(format_value(value, unit), REDUCTION, unit) == value
    assert parse_value(plain_number(value), REDUCTION, unit) == value


@settings(max_examples=500)
@given(dials(), st.sampled_from(UNITS), st.floats(min_value=0, max_value=1))
def test_every_setting_of_a_dial_reads_back_exactly(dial, unit, share):
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    value = dial.value_at(min(last, first + share * (last - first)))

    assert parse_value(setting_text(value, dial, unit), dial, unit) == value


@settings(max_examples=2000)
@given(engraved_dials(), st.sampled_from(UNITS), st.floats(min_value=0, max_value=1))
def test_page_that_is_opened_and_saved_moves_no_pointer(dial, unit, share):
    """Whatever is engraved, and however nearly equal the marks: what is written for a setting reads
    back as the same setting, at a mark and between."""
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    between = dial.value_at(min(last, first + share * (last - first)))

    for value in {between, *(mark.value for mark in dial.marks)}:
        shown = setting_text(value, dial, unit)
        saved = parse_value(shown, dial, unit)
        assert saved == value, shown
        assert dial.angle_of(saved) == dial.angle_of(value)


@pytest.mark.parametrize(
    ("value", "text"), [(0.98, "0.98"), (1, "1.0"), (2, "2"), (2.0001, "2.0001"), (3, "3")]
)
def test_figure_that_is_engraved_at_another_mark_is_written_with_a_zero_more(value, text):
    """Marks worn to nearly the same: “1” stands for 0.98, and “2” twice."""
    dial = _dial("0.98 @ 7:00 = 1, 2 @ 10:00 = 2, 2.0001 @ 10:30 = 2, 4 @ 5:00")

    assert setting_text(value, dial) == text
    assert parse_value(text, dial) == value


def test_word_that_stands_at_two_positions_is_asked_back():
    twice = _dial("0 = off, 1 = low, 2 = off", "switch")

    assert [setting_text(value, twice) for value in (0, 1, 2)] == ["0", "low", "2"]
    with pytest.raises(
        ValueError, match="“off” stands at 2 marks: write the value. Write one of: 0"
    ):
        parse_value("off", twice)


@given(st.lists(st.integers(-5000, 5000), min_size=2, max_size=8, unique=True), st.data())
def test_every_position_of_a_selector_reads_back_exactly(values, data):
    marks = tuple(Mark(value, place) for place, value in enumerate(values))
    dial = Dial(marks, "stepped")
    unit = data.draw(st.sampled_from(UNITS))

    assert [parse_value(setting_text(v, dial, unit), dial, unit) for v in values] == values


def test_expected_lists_what_each_kind_takes():
    assert expected(SWITCH) == "Write one of: out, in."
    assert expected(GAIN, "dB").startswith("Write a value from −20 dB to +20 dB")
    assert expected(REDUCTION, "dB") == "Write the reading, such as 3 dB."
