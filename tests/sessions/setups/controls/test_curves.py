"""What is drawn from a panel, and what is said where it leaves something open."""

import math

import pytest

from gear.audio.curves import BUTTERWORTH_Q, Band, Compressor
from gear.panels.models import Meaning
from sessions.setups.controls.compressor import compressor_of
from sessions.setups.controls.curves import stage_curves
from sessions.setups.controls.equaliser import bands_of
from sessions.setups.controls.stage_controls import StageControls
from tests.sessions.setups.in_memory import control, knob, meter, revision, stage, switch, unit


def gain(label, band, **facts):
    return knob(label, Meaning.BAND_GAIN, low=-15, high=15, band=band, **facts)


def frequency(label, band=None, meaning=Meaning.BAND_FREQUENCY):
    return knob(label, meaning, low=20, high=20_000, unit="Hz", band=band)


def bands(*controls, **settings):
    notes = []
    settings = {name.replace("_", " "): value for name, value in settings.items()}
    return bands_of(StageControls.at(stage(unit(*controls), settings)), notes), " ".join(notes)


def compressor(*controls, **settings):
    notes = []
    made = compressor_of(StageControls.at(stage(unit(*controls), settings)), notes)
    return made, " ".join(notes)


def test_band_with_everything_on_its_panel_needs_no_note():
    controls = [
        gain("Level", 1),
        frequency("Hertz", 1),
        knob("Q", Meaning.BAND_Q, high=5, unit="", band=1),
        switch("Shape", Meaning.BAND_SHAPE, words=("bell", "shelf"), band=1),
    ]

    found, notes = bands(*controls, level=4, hertz=800, q=2, shape=0)

    assert found == [Band("peak", 800, 4, 2)]
    assert notes == ""


def test_outer_bands_of_three_are_shelves_and_the_notes_say_why():
    controls = [
        control
        for band, name in enumerate(("Low", "Middle", "High"), 1)
        for control in (gain(name, band), frequency(f"{name} hertz", band))
    ]

    found, notes = bands(
        *controls, low=3, low_hertz=100, middle=-2, middle_hertz=1000, high=1, high_hertz=8000
    )

    assert [(band.shape, band.frequency_hz, band.q) for band in found] == [
        ("low shelf", 100, BUTTERWORTH_Q),
        ("peak", 1000, 1),
        ("high shelf", 8000, BUTTERWORTH_Q),
    ]
    assert "Low is drawn as a low shelf (common practice; the panel does not say)." in notes
    assert "Middle is drawn with a Q of 1: the panel gives none." in notes


def test_band_whose_frequency_is_engraved_in_its_name():
    found, _ = bands(gain("High 12 kHz", 1), **{"high 12 khz": 2})

    assert [band.frequency_hz for band in found] == [12_000]


def test_band_without_a_frequency_is_not_drawn():
    found, notes = bands(gain("Air", 1), air=2)

    assert found == []
    assert notes == "The panel gives no frequency for Air, so it is not drawn."


@pytest.mark.parametrize(
    ("logged", "note"),
    [
        ({"hertz": 800}, "Level is not logged, so it is not drawn."),
        ({"level": 3}, "Hertz is not logged, so Level is not drawn."),
    ],
)
def test_what_was_not_logged_is_not_drawn(logged, note):
    found, notes = bands(gain("Level", 1), frequency("Hertz", 1), **logged)

    assert (found, notes) == ([], note)


def test_band_at_0_db_is_flat():
    assert bands(gain("Level", 1), frequency("Hertz", 1), level=0, hertz=800) == ([], "")


@pytest.mark.parametrize(
    ("label", "shape"),
    [("High-pass", "low cut"), ("Low cut", "low cut"), ("LPF", "high cut")],
)
def test_filter_is_what_its_name_says(label, shape):
    knobs = [
        frequency(label, meaning=Meaning.FILTER_FREQUENCY),
        control("Slope", "other", unit="dB/oct", kind="stepped", marks=[]),
    ]

    found, notes = bands(*knobs, **{label.lower(): 80, "slope": 18})

    assert found == [Band(shape, 80, order=3)]
    assert notes == ""


@pytest.mark.parametrize(("position", "drawn"), [(0, []), (1, [80])])
def test_filter_switch_carries_its_frequency_in_words(position, drawn):
    low_cut = switch("Low cut", Meaning.FILTER_FREQUENCY, words=("flat", "80 Hz"))

    found, _ = bands(low_cut, low_cut=position)

    assert [band.frequency_hz for band in found] == drawn


@pytest.mark.parametrize(
    ("label", "words", "position", "is_in"),
    [
        ("Equaliser", ("out", "in"), 1, True),
        ("Equaliser", ("out", "in"), 0, False),
        ("Bypass", ("off", "on"), 1, False),
        ("Bypass", ("off", "on"), 0, True),
        ("Bypass", ("in", "bypass"), 1, False),
        ("Compressor", ("out", "in"), 0, True),  # another section's switch
    ],
)
def test_bypass(label, words, position, is_in):
    controls = [gain("Level", 1), frequency("Hertz", 1), switch(label, words=words)]

    found, _ = bands(*controls, level=3, hertz=800, **{label.lower(): position})

    assert bool(found) == is_in


def test_bypass_that_was_not_logged_is_said():
    found, notes = bands(
        gain("Level", 1), frequency("Hertz", 1), switch("Equaliser"), level=3, hertz=800
    )

    assert len(found) == 1
    assert "Whether the equaliser was in is not logged: drawn as if in." in notes


THRESHOLD = knob("Threshold", Meaning.THRESHOLD, low=-30, high=10, unit="dBu")
RATIO = control(
    "Ratio",
    Meaning.RATIO,
    kind="stepped",
    unit=":1",
    marks=[
        {"value": 4, "angle": 0, "label": "4"},
        {"value": 20, "angle": 60, "label": "∞:1"},
    ],
)


def test_compressor_with_make_up_and_a_knee_in_decibels():
    controls = [
        THRESHOLD,
        RATIO,
        knob("Knee", Meaning.KNEE, high=20),
        knob("Makeup", Meaning.MAKE_UP, high=20),
    ]

    found, notes = compressor(*controls, threshold=-10, ratio=4, knee=6, makeup=3)

    assert found == Compressor(-10, 4, 6, 3)
    assert notes == ""


def test_ratio_engraved_with_infinity_is_a_limiter():
    found, _ = compressor(THRESHOLD, RATIO, threshold=-10, ratio=20)

    assert math.isinf(found.ratio)


@pytest.mark.parametrize(("position", "knee_db"), [(0, 0), (1, 10)])
def test_knee_switch_is_read_in_words(position, knee_db):
    knee = switch("Knee", Meaning.KNEE, words=("hard", "soft"))

    found, notes = compressor(THRESHOLD, RATIO, knee, threshold=-10, ratio=4, knee=position)

    assert found.knee_db == knee_db
    assert ("soft knee of 10 dB" in notes) == (position == 1)


def test_one_knob_compressor_says_what_cannot_be_computed():
    """A one-knob optical compressor: how much, and a meter."""
    squash = knob("Reduction", Meaning.THRESHOLD, low=0, high=10, unit="")
    chain = revision(stage(unit(squash, meter("Meter")), {"reduction": 4, "meter": 3}))

    [curve] = stage_curves(chain.stages.all()[0])

    assert curve.plot is None
    assert "no threshold in decibels and no ratio in figures" in curve.notes[0]
    assert "go by the gain reduction that was read" in curve.notes[0]


def test_curves_say_in_words_what_they_show():
    channel = unit(gain("Level", 1), frequency("Hertz", 1), THRESHOLD, RATIO)
    chain = revision(
        stage(channel, {"level": 3, "hertz": 800, "threshold": -10, "ratio": 4}),
        stage(unit(knob("Gain", Meaning.GAIN))),
    )

    curves = [list(stage_curves(stage)) for stage in chain.stages.all()]

    assert curves[1] == []
    assert [(curve.name, curve.words) for curve in curves[0]] == [
        ("Equaliser", "peak of +3 dB at 800 Hz, Q 1"),
        ("Compressor", "threshold −10.0 dBu, 4:1, hard knee, make-up 0 dB"),
    ]
