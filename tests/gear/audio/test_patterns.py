"""Which words name which pattern, and what is said of those that name none."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.patterns import (
    BOUNDARY,
    CARDIOID,
    EIGHT,
    HYPER,
    LOBAR,
    OMNI,
    PATTERNS,
    SUPER,
    WIDE,
    is_unknown_pattern,
    pattern_choices,
    pattern_named,
)

SPELLINGS = {
    OMNI: ["omni", "Omni", "omnidirectional", "Omni-directional", "omni (rear screw)"],
    WIDE: ["wide", "Wide cardioid", "sub-cardioid", "SUBCARDIOID", "wide card.", "hypocardioid"],
    CARDIOID: ["card.", "Cardioid", "cardiod", "cardioid pattern", "cardioid, switch 3"],
    SUPER: ["super", "Supercardioid", "super-cardioid", "super card."],
    HYPER: ["hyper", "HyperCardioid", "hyper cardioid", "hyper-card", "hypercardoid"],
    EIGHT: [
        "8",
        "fig 8",
        "fig. 8",
        "fig.8",
        "fig8",
        "Fig-8",
        "figure 8",
        "figure-8",
        "figure eight",
    ]
    + ["Figure of eight", "figure-of-eight", "figure of 8", "eight", "f8", "bi", "bidirectional"]
    + ["bi-directional", "Bi directional", "bidirectinal", "Figure-of-8; front lobe to him"],
    LOBAR: ["shotgun", "Lobar"],
    BOUNDARY: ["boundary", "hemispherical", "half-omni"],
}
KNOWN = [(said, pattern) for pattern, spellings in SPELLINGS.items() for said in spellings]
#: Two patterns at once, an in-between position, a word of another trade, a class of patterns.
UNKNOWN = ["as it came", "omni to cardioid", "cardioid/omni", "not cardioid", "unidirectional"]
UNKNOWN += ["9", "figure", "stereo", "switch 3", "?"]


@pytest.mark.parametrize(("said", "pattern"), KNOWN)
def test_usual_spelling_names_its_pattern(said, pattern):
    assert pattern_named(said) == pattern
    assert not is_unknown_pattern(said)


@pytest.mark.parametrize("said", UNKNOWN)
def test_what_names_none_or_more_than_one_is_unknown(said):
    assert pattern_named(said) is None
    assert is_unknown_pattern(said)


@pytest.mark.parametrize("said", ["", "  "])
def test_nothing_written_is_not_an_unknown_pattern(said):
    assert pattern_named(said) is None
    assert not is_unknown_pattern(said)


@given(
    pattern=st.sampled_from(PATTERNS),
    sign=st.sampled_from([" ", "-", "  ", " - ", "."]),
    write=st.sampled_from([str.upper, str.lower, str.title, str.swapcase]),
    remark=st.sampled_from(["", ", switch 2", " (rear)", "; as Maud likes it"]),
)
def test_case_signs_and_a_remark_change_nothing(pattern, sign, write, remark):
    for spelling in (pattern.name, *pattern.spellings):
        said = write(spelling).replace("-", sign).replace(" ", sign)
        assert pattern_named(f" {said}{remark} ") == pattern


def test_no_spelling_names_two_patterns():
    spellings = [each.casefold() for p in PATTERNS for each in (p.name, *p.spellings)]

    assert len(set(spellings)) == len(spellings)


def test_patterns_that_are_not_of_the_first_order_take_off_nothing_that_is_known():
    assert [pattern.gain_db(90) for pattern in (LOBAR, BOUNDARY)] == [None, None]


@given(st.sampled_from([p for p in PATTERNS if p.pressure is not None]), st.floats(-180, 180))
def test_nothing_is_louder_than_straight_on(pattern, angle):
    assert pattern.gain_db(angle) <= 1e-9
    assert pattern.gain_db(angle) == pytest.approx(pattern.gain_db(-angle)) or math.isinf(
        pattern.gain_db(angle)
    )


def test_list_in_a_sentence():
    assert pattern_choices().startswith("omnidirectional, wide cardioid, cardioid,")
    assert pattern_choices().endswith("lobar or hemispherical")
