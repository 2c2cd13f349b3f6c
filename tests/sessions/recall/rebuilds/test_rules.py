"""The rules of a rebuild that need no database: matching and deviation."""

import pytest

from gear.panels.models import Control, Kind, Meaning, Scale
from sessions.recall.models import Tick
from sessions.recall.rebuilds.lines import ControlLine
from sessions.setups.controls.matching import Match, match_settings


def control(key="gain", marks=((0, -150), (60, 150)), **facts):
    labelled = [
        {"value": mark[0], "angle": mark[1], "label": mark[2] if len(mark) > 2 else ""}
        for mark in marks
    ]
    usual = {"label": key.capitalize(), "kind": Kind.CONTINUOUS, "unit": "dB"}
    usual |= {"meaning": Meaning.GAIN, "scale": Scale.LINEAR}
    return Control(key=key, marks=labelled, **usual | facts)


FREQUENCY = {
    "unit": "Hz",
    "meaning": Meaning.BAND_FREQUENCY,
    "scale": Scale.LOG,
    "band": 2,
}


def test_same_control_takes_the_value_as_it_was():
    (match,) = match_settings([(control(), 35)], [control("trim"), control()])

    assert (match.target.key, match.value, match.problem) == ("gain", 35, "")


def test_control_of_the_same_meaning_and_band_takes_it_under_another_name():
    logged = control("middle-frequency", ((250, -150), (7500, 150)), **FREQUENCY)
    low = control("bass", ((40, -150), (400, 150)), **FREQUENCY | {"band": 1})
    presence = control("presence", ((1000, -150), (8000, 150)), **FREQUENCY)

    (match,) = match_settings([(logged, 2200)], [low, presence])

    assert (match.target.key, match.value) == ("presence", 2200)


def test_range_that_does_not_reach_the_value_is_said():
    (match,) = match_settings([(control(), 55)], [control(marks=((0, -150), (40, 150)))])

    assert match.value is None
    assert match.problem.removeprefix("Gain 55 dB: ") == (
        "its “Gain” goes from 0 dB to 40 dB: nearest is 40 dB, 15 dB off."
    )


def test_control_that_is_missing_is_said():
    ratio = control("ratio", ((2, -60), (8, 60)), unit=":1", meaning=Meaning.RATIO)

    (match,) = match_settings([(ratio, 4)], [control()])

    assert (match.target, match.problem) == (None, "Ratio 4:1: it has no such control.")


def test_steps_without_the_value_are_said():
    stepped = control(kind=Kind.STEPPED, marks=((20, -150), (30, 0), (40, 150)))

    (match,) = match_settings([(control(), 35)], [stepped])

    assert match.value is None
    assert match.problem.endswith(
        "its “Gain” has only 20 dB, 30 dB, 40 dB: nearest is 30 dB, 5 dB off."
    )


def test_switch_is_matched_by_its_word_and_not_by_its_number():
    facts = {"kind": Kind.SWITCH, "unit": "", "meaning": Meaning.FILTER_FREQUENCY}
    logged = control("cut", ((0, 0, "flat"), (1, 1, "80 Hz")), **facts)
    turned = control("cut", ((0, 0, "80 Hz"), (1, 1, "flat")), **facts)
    other = control("cut", ((0, 0, "flat"), (1, 1, "60 Hz")), **facts)

    assert match_settings([(logged, 1)], [turned])[0].value == 0
    assert match_settings([(logged, 1)], [other])[0].value is None


def test_one_control_takes_one_setting():
    first, second = control("gain-1"), control("gain-2")

    matches = match_settings([(first, 10), (second, 20)], [control("level")])

    assert [match.value for match in matches] == [10, None]


def test_other_unit_is_no_match():
    (match,) = match_settings([(control(), 30)], [control(unit="")])

    assert match.problem.endswith("its “Gain” is marked without a unit.")


@pytest.mark.parametrize(
    ("set_to", "is_off", "words"),
    [
        (35, False, "as logged"),
        (35.5, False, "2°, +0.5 dB"),
        (38, True, "15°, +3 dB"),
        (30, True, "25°, −5 dB"),
    ],
)
def test_how_far_off_is_said_in_degrees_and_in_the_unit(set_to, is_off, words):
    # 300 degrees for 60 dB: five degrees a dB; the tolerance is five degrees.
    gain = control(tolerance_degrees=5)
    line = ControlLine(gain, Match(gain, 35, gain, 35), Tick(value=set_to))

    assert (line.is_off, line.off_words) == (is_off, words)
