"""Then and now in words: what an engineer would say of two curves laid over each other.

The curves are worked out from the Cookbook's formulas and from Giannoulis' (`gear/audio/curves.py`,
held against outside sources in `tests/published/`), so that what differs is known beforehand.
Places are told to a step of HERTZ, 2.9 %: a shelf of 100 Hz begins at 97 Hz, one of 6 kHz at 6.1 kHz.
"""

from dataclasses import replace

import pytest

from gear.audio.curves import Band, Compressor
from gear.audio.proving.comparing import compare
from gear.audio.proving.in_dbu import in_dbu
from gear.audio.proving.result import Harmonics, Timing
from tests.gear.audio.proving.results import CEILING_DBFS, PRESENCE, result

THEN = result(bands=[PRESENCE])


def said(then, now, tolerance=0.5) -> str:
    return compare(then, now, tolerance).words


def test_a_chain_that_does_the_same_agrees():
    assert compare(THEN, THEN, 0.5).agrees
    assert said(THEN, THEN) == "Agrees within 0.5 dB."


def test_what_is_within_the_tolerance_is_not_told_and_what_is_over_it_is():
    quieter = result(gain=-0.4, bands=[PRESENCE])
    assert compare(THEN, quieter, 0.5).agrees
    assert said(THEN, quieter, 0.3) == "0.4 dB low."


def test_a_level_is_said_once_and_a_shelf_apart_from_it():
    now = result(gain=-1.5, bands=[PRESENCE, Band("high shelf", 6000.0, -2.0)])
    assert said(THEN, now) == "1.5 dB low; above 6.1 kHz 2 dB less."


def test_a_shelf_below_and_a_peak_in_the_middle_each_have_their_place_the_greater_first():
    now = result(bands=[PRESENCE, Band("low shelf", 100.0, 1.5), Band("peak", 1000.0, -4.0, 2.0)])
    assert said(THEN, now) == "Around 1 kHz 4 dB less; below 97 Hz 1.5 dB more."


def test_a_peak_at_1_khz_is_no_change_of_level():
    """The gain is measured at 1 kHz, but all else stands as it did."""
    now = result(bands=[PRESENCE, Band("peak", 1000.0, 3.0, 3.0)])
    assert said(THEN, now) == "Around 1 kHz 3 dB more."


def test_more_reduction_is_said_at_the_lowest_level_that_has_nearly_all_of_it():
    """4:1 from -20 and from -24: 3 dB more taken off from -20 on, 4 dB · (1 - 1/4)."""
    then, now = (result(compressor=Compressor(threshold, 4.0)) for threshold in (-20.0, -24.0))
    assert said(then, now) == "3 dB more reduction at −20.0 dBu."
    assert said(now, then) == "3 dB less reduction at −20.0 dBu."


def test_level_in_is_said_in_dbu_of_the_injection_point():
    then, now = (
        in_dbu(
            result(compressor=Compressor(threshold, 4.0)),
            sent_full_scale_dbu=-22.0,
            read_full_scale_dbu=18.0,
        )
        for threshold in (-20.0, -24.0)
    )
    assert said(then, now) == "3 dB more reduction at −42.0 dBu."


def test_two_converters_with_other_alignments_agree_once_both_are_in_dbu():
    """The same chain, read by a converter that reaches full scale 6 dB later: 6 dB lower in dBFS."""
    there = result(bands=[PRESENCE])
    here = result(gain=-6.0, bands=[PRESENCE], noise_dbfs=-91.0, noise_a_dbfs=-94.0)
    then = in_dbu(there, sent_full_scale_dbu=18.0, read_full_scale_dbu=18.0)
    now = in_dbu(here, sent_full_scale_dbu=18.0, read_full_scale_dbu=24.0)
    assert said(there, here).startswith("6 dB low")
    assert compare(then, now, 0.1).agrees
    assert now.curve[0] == pytest.approx((CEILING_DBFS - 40 + 18, THEN.curve[0][1] + 18))


def test_reversed_polarity_comes_first():
    now = result(gain=-1.0, bands=[PRESENCE], polarity=-1)
    assert said(THEN, now) == "Polarity is reversed; 1 dB low."


def test_polarity_that_cannot_be_told_is_not_called_reversed():
    assert compare(THEN, replace(THEN, polarity=None), 0.5).agrees


def test_an_attack_or_release_that_is_a_quarter_off_is_told_by_its_frequency():
    slower = (Timing(1000.0, 12.0, 260.0), Timing(5000.0, None, 200.0))
    now = replace(THEN, timings=slower)
    assert said(THEN, now) == "Release 260 ms at 1 kHz, it was 200 ms."


def test_distortion_is_told_where_it_is_more_than_faint():
    loud = THEN.harmonics[-1].in_dbfs
    driven = (*THEN.harmonics[:-1], Harmonics(loud, -75.0, -48.0, -47.9))
    assert said(THEN, replace(THEN, harmonics=driven)) == ("Third harmonic 12 dB more at −4.0 dBu.")
    faint = (*THEN.harmonics[:-1], Harmonics(loud, -75.0, -61.0, -60.9))
    assert compare(THEN, replace(THEN, harmonics=faint), 0.5).agrees


def test_noise_and_hum_are_told_where_there_is_more_of_them():
    noisier = replace(THEN, noise_dbfs=-79.0, noise_a_dbfs=-82.0)
    assert said(THEN, noisier) == "6 dB more noise (A-weighted)."
    humming = replace(THEN, hum=((50.0, -80.0), (150.0, -70.0)))
    assert said(THEN, humming) == "15 dB more hum at 150 Hz."
    assert compare(humming, THEN, 0.5).agrees


def test_a_response_that_depends_on_the_level_is_not_compared_but_its_gain_is():
    """All of its response is unknown then: the words say what is left, and what is not."""
    unknown = (None,) * len(THEN.response_db)
    now = replace(THEN, response_db=unknown, response_level_db=None, gain_db=THEN.gain_db - 2)
    compared = compare(THEN, now, 0.5)
    assert compared.words == "2 dB low; the response now depends on the level, as it did not."
    assert compared.not_compared == (
        "The response of both is not known at any frequency: it is not compared.",
    )


def test_where_nothing_is_known_nothing_is_said_to_agree():
    blank = replace(
        THEN, response_db=(None,) * len(THEN.response_db), response_level_db=None, curve=()
    )
    compared = compare(blank, blank, 0.5)
    assert not compared.agrees
    assert compared.words == "Nothing could be compared."
    assert compared.largest_db is None


def test_frequencies_that_one_of_them_does_not_know_are_left_out():
    """20 Hz and what is near it: the chain now lets nothing through there that could be measured."""
    cut = (None,) * 40 + THEN.response_db[40:]
    compared = compare(THEN, replace(THEN, response_db=cut), 0.5)
    assert len(compared.response) == len(THEN.response_db) - 40
    assert compared.agrees


def test_the_largest_difference_is_of_level_anywhere():
    now = result(gain=-1.5, bands=[PRESENCE, Band("high shelf", 6000.0, -2.0)])
    assert compare(THEN, now, 0.5).largest_db == pytest.approx(3.4, abs=0.1)
