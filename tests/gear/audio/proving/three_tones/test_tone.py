from dataclasses import replace

import pytest

from gear.audio.curves import Band, response_db
from gear.audio.proving.result import HERTZ
from gear.audio.proving.three_tones.tone import Tone, compare_tones, tones_of
from tests.factories.proving import result_of

THEN = (Tone(80, -20, -1.0), Tone(1000, -20, 0.0), Tone(10_000, -20, 0.5))


def now(bottom=0.0, middle=0.0, top=0.0, sent=0.0):
    """THEN with so many dB more."""
    more = (bottom, middle, top)
    return tuple(
        replace(tone, sent_dbu=tone.sent_dbu + sent, read_dbu=tone.read_dbu + by + sent)
        for tone, by in zip(THEN, more, strict=True)
    )


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({}, "Agrees within 0.5 dB."),
        ({"bottom": 0.4, "middle": -0.3, "top": -0.5}, "At 80 Hz 0.7 dB more."),
        ({"bottom": -1.5, "middle": -1.5, "top": -1.5}, "1.5 dB low."),
        ({"bottom": 2, "middle": 2, "top": 0}, "2 dB high; at 10 kHz 2 dB less."),
        ({"bottom": 3.04}, "At 80 Hz 3 dB more."),
        ({"middle": 1}, "1 dB high; at 80 Hz 1 dB less; at 10 kHz 1 dB less."),
    ],
)
def test_then_and_now_in_words(more, words):
    assert compare_tones(THEN, now(**more), 0.5).words == words


def test_tolerance_is_the_houses():
    assert compare_tones(THEN, now(top=0.8), 1.0).agrees
    assert not compare_tones(THEN, now(top=0.8), 0.5).agrees
    assert compare_tones(THEN, now(top=0.8), 1.0).largest_db == pytest.approx(0.8)


def test_tone_that_was_not_read_is_not_compared():
    found = compare_tones(THEN, (*now()[:2], Tone(10_000, -20)), 0.5)
    assert found.words == "Agrees within 0.5 dB."
    assert found.not_compared == ("10 kHz was not read both times: it is not compared.",)


def test_other_frequencies_are_not_compared():
    found = compare_tones(THEN, (Tone(100, -20, 0), Tone(8000, -20, 0)), 0.5)
    assert found.words == "Nothing could be compared."
    assert len(found.not_compared) == 5


def test_tones_that_were_sent_louder():
    """Gains are compared, not readings."""
    found = compare_tones(THEN, now(sent=6), 0.5)
    assert found.agrees
    assert found.not_compared == (
        "The tones were sent at −20.0 dBu then and at −14.0 dBu now: where a unit compresses or "
        "distorts, that alone makes a difference.",
    )


def test_tones_of_a_full_measurement():
    """A shelf of the published formulas (Audio EQ Cookbook), whose response the measurement had."""
    bands = [Band("low shelf", 100, 6.0, 0.7)]
    result = result_of(response_db=tuple(12 + response_db(bands, hertz) for hertz in HERTZ))
    found = tones_of(result, (80, 1000, 10_000), sent_dbu=-40)
    for tone in found:
        assert tone.gain_db == pytest.approx(12 + response_db(bands, tone.hertz), abs=0.002)


def test_response_that_depends_on_level_gives_no_tone():
    result = result_of(response_level_db=None)
    assert [tone.read_dbu for tone in tones_of(result, (80, 1000), sent_dbu=0)] == [None, None]


def test_tone_is_read_back():
    for tone in (*THEN, Tone(80, -20, None, ("80 Hz lies under the noise.",))):
        assert Tone.from_json(tone.as_json()) == tone
