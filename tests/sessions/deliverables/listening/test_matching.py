"""Versions matched in loudness: the rule for any figures, and the sound itself, measured."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sessions.deliverables.listening.matching import Measured, match_loudness
from sessions.deliverables.measuring import measure
from tests.signals import noise, stereo, write_wav

levels = st.floats(-60, 3)
versions = st.lists(st.builds(Measured, lufs=levels, dbtp=levels), min_size=2, max_size=6)


@settings(max_examples=60)
@given(versions, st.floats(-6, 0))
def test_all_are_equally_loud_none_is_turned_up_and_no_peak_passes_the_ceiling(given, ceiling):
    match = match_loudness(given, ceiling_dbtp=ceiling)

    for version, gain in zip(given, match.gains_db, strict=True):
        assert gain <= 0
        assert version.lufs + gain == pytest.approx(match.target_lufs, abs=1e-9)
        assert version.dbtp + gain <= ceiling + 1e-9


@settings(max_examples=60)
@given(versions, st.floats(-6, 0))
def test_nothing_is_turned_down_further_than_it_must_be(given, ceiling):
    """Whoever holds the others back stands as it was printed, or with its peak at the ceiling."""
    match = match_loudness(given, ceiling_dbtp=ceiling)

    held_by, gain = given[match.held_by], match.gains_db[match.held_by]
    if match.at_the_ceiling:
        assert held_by.dbtp + gain == pytest.approx(ceiling, abs=1e-9)
    else:
        assert gain == 0


def test_a_version_without_loudness_plays_as_it_is():
    silent = Measured(None, None)

    match = match_loudness([silent, Measured(-20, -3), Measured(-14, -1)], ceiling_dbtp=-1)

    assert match.gains_db == [0, 0, -6]
    assert match_loudness([silent, Measured(-20, -3)], ceiling_dbtp=-1) is None


def test_matched_sound_measures_equally_loud(source):
    """Outside: the gain applied to the samples, measured anew, agrees within a tenth."""
    sounds = [stereo(noise(3, dbfs, seed=seed)) for seed, dbfs in enumerate((-1, -9.4, -17))]
    measured = [measure(write_wav(source(f"{n}.wav"), each)) for n, each in enumerate(sounds)]
    figures = [Measured(each.integrated_lufs, each.true_peak_dbtp) for each in measured]

    match = match_loudness(figures, ceiling_dbtp=-1)

    played = [
        measure(write_wav(source(f"{n} matched.wav"), sound * 10 ** (gain / 20))).integrated_lufs
        for n, (sound, gain) in enumerate(zip(sounds, match.gains_db, strict=True))
    ]
    assert np.ptp(played) <= 0.1
