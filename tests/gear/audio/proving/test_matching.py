import pytest

from gear.audio.proving.comparing import compare
from gear.audio.proving.matching import match
from gear.audio.proving.result import HERTZ
from gear.audio.proving.three_tones.tone import Tone, compare_tones
from tests.factories.proving import result_of


def response(level=0.0, *, top=0.0):
    """Flat, with so much more from 8 kHz up."""
    return result_of(response_db=tuple(level + (top if hertz > 8000 else 0) for hertz in HERTZ))


def test_pair_that_is_alike_but_for_its_level():
    found = match(compare(response(), response(1.25), 0.5))

    assert found.level_db == pytest.approx(1.25)
    assert found.within_db == pytest.approx(0, abs=1e-9)
    assert found.words == (
        "Matched within 0 dB from 20 Hz to 20 kHz, and in what they reduce; levels 1.3 dB apart."
    )


def test_pair_differs_by_its_worst_frequency():
    """Rounded up: 0.21 dB is not within 0.2."""
    found = match(compare(response(), response(0.02, top=-0.21), 0.5))

    assert found.within_db == pytest.approx(0.21)
    assert found.words.startswith("Matched within 0.3 dB from 20 Hz to 20 kHz")
    assert found.words.endswith("levels alike.")


def test_compressors_that_reduce_differently():
    """The second takes 2 dB more off at the loudest step."""
    first = result_of(curve=((-40, -40), (-30, -30), (-20, -25)))
    second = result_of(curve=((-40, -40), (-30, -30), (-20, -27)))

    assert match(compare(first, second, 0.5)).dynamics_db == pytest.approx(2)
    assert match(compare(first, second, 0.5)).within_db == pytest.approx(2)


def test_pair_by_three_tones():
    first = (Tone(80, -20, -1), Tone(1000, -20, 0), Tone(10_000, -20, 0.5))
    second = (Tone(80, -20, -0.6), Tone(1000, -20, 0.3), Tone(10_000, -20, 0.8))
    found = match(compare_tones(first, second, 0.5))

    assert found.words == "Matched within 0.1 dB from 80 Hz to 10 kHz; levels 0.3 dB apart."


def test_without_a_response_of_both_nothing_is_said():
    unknown = result_of(response_db=(None,) * len(HERTZ))
    assert match(compare(response(), unknown, 0.5)) is None
