"""What is left of a mix once its stems are taken from it, against the same in plain numpy."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sessions.deliverables.nulling.comparing import Sound, compare
from sessions.deliverables.nulling.words import Finding, Words
from tests.signals import RATE, channels, noise, stereo, tone, write_wav


def whole(samples, bits=24):
    """As a file of that depth holds it."""
    return np.round(samples * 2 ** (bits - 1)) / 2 ** (bits - 1)


@pytest.fixture
def band():
    """Three stems of two seconds: one stereo, two mono."""
    drums = channels(noise(2, -20, seed=1), noise(2, -20, seed=2))
    bass, vocal = (noise(2, -26, seed=seed)[:, None] for seed in (3, 4))
    return [whole(part) for part in (drums, bass, vocal)]


@pytest.fixture
def held(tmp_path):
    """`held(stems, mix)`: written as files, compared, and in words."""

    def compared(stems, mix, *, bits=24, starts=None, **facts):
        starts = starts or [None] * (len(stems) + 1)
        sounds = []
        for number, (samples, start) in enumerate(zip([*stems, mix], starts, strict=True)):
            path = write_wav(tmp_path / f"{number}.wav", samples, bits=bits, **facts)
            sounds.append(Sound(str(path), len(samples), samples.shape[1], start))
        *stems, mix = sounds
        names = ["Drums", "Bass", "Vocal"][: len(stems)]
        return Words(compare(stems, mix, rate=RATE), names, RATE, bits)

    return compared


def db(power):
    return 10 * np.log10(power)


def test_stems_that_add_up_null_to_the_last_bit(band, held):
    found = held(band, sum(band))

    assert found.finding == Finding.NULLS
    assert (found.peak_dbfs, found.figures["rms_dbfs"]) == (None, None)
    assert found.in_short == ("The stems null against the mix exactly: every sample is the same.")
    assert found.hints == []


def test_rounding_to_24_bit_is_within_the_tolerance(held):
    """Rule 6 of standards.md §5.3: −80 dBFS peak."""
    parts = [stereo(tone(2, -12, hz=hz)) for hz in (110, 331, 997)]

    found = held(parts, sum(parts))

    assert found.finding == Finding.NULLS
    assert -150 < found.peak_dbfs < -132
    assert found.tolerance_dbfs == -80


def test_files_of_16_bit_may_be_rounded_by_as_much_as_they_are():
    """Nine stems and a mix, each off by half a bit: 10/2 · 2⁻¹⁵ of full scale."""
    assert Words({}, ["stem"] * 9, RATE, 16).tolerance_dbfs == pytest.approx(-76.3, abs=0.05)


def test_a_stem_that_is_a_decibel_up_is_named(band, held):
    drums, bass, vocal = band
    mix = whole(drums + bass + vocal * 10 ** (-1 / 20))

    found = held(band, mix)

    left = mix - sum(band)
    assert found.peak_dbfs == pytest.approx(20 * np.log10(np.abs(left).max()), abs=1e-6)
    assert found.figures["rms_dbfs"] == pytest.approx(db((left**2).mean()), abs=1e-6)
    assert found.figures["mix_rms_dbfs"] == pytest.approx(db((mix**2).mean()), abs=1e-6)
    assert found.figures["gains"][2] == pytest.approx([10 ** (-1 / 20), 1], abs=1e-4)
    assert found.finding == Finding.NOT
    assert found.hints == ["With Vocal 1.0 dB lower all of the residual is gone."]


def test_a_stem_upside_down_or_not_in_the_mix_is_named(band, held):
    drums, bass, vocal = band

    assert held(band, drums - bass + vocal).hints == [
        "With Bass flipped in polarity all of the residual is gone."
    ]
    assert held(band, whole(drums + vocal)).hints == [
        "Without Bass, which the mix doesn’t have, all of the residual is gone."
    ]


def test_a_stem_that_is_missing_is_thought_of(band, held):
    drums, bass, vocal = band

    [hint] = held([drums, bass], sum(band)).hints

    assert "a stem may be missing" in hint


@pytest.mark.parametrize("late", [-4801, 137])
def test_stems_that_begin_elsewhere_are_moved(band, held, late):
    """The mix begins before its stems, and after them."""
    silent = np.zeros((abs(late), 2))
    mix = np.vstack([silent, sum(band)]) if late < 0 else sum(band)[late:]

    found = held(band, mix)

    assert found.figures["shift"] == late
    assert found.peak_dbfs is None or late > 0  # then the mix has lost its first samples
    assert [second[0] for second in found.figures["seconds"][1:2]] == [None]
    side = "later" if late < 0 else "earlier"
    assert found.alignment.startswith(f"The stems were moved {abs(late):,} sample")
    assert f" {side}, by their sound" in found.alignment


def test_time_stamps_come_first_and_are_doubted_where_they_are_wrong(band, held):
    """The vocal is recorded from its first word on, 480 samples after the others."""
    drums, bass, vocal = band
    placed = [0, 0, 480]
    mix = whole(drums + bass + np.vstack([np.zeros((480, 1)), vocal[:-480]]))
    ends = [drums, bass, vocal[:-480]]

    right = held(ends, mix, starts=[RATE + start for start in placed] + [RATE])
    wrong = held(ends, mix, starts=[RATE + start for start in placed] + [RATE - 100])

    assert (right.finding, right.figures["aligned_by"]) == (Finding.NULLS, "time stamps")
    assert right.alignment == "Stems and mix begin together, by their time stamps."
    assert wrong.finding == Finding.NOT
    assert "the stems are 100 samples (2.08 ms) late after that" in wrong.hints[0]


def test_seconds_and_octaves_say_where(held):
    """A cough in the mix, and a hum."""
    part = whole(stereo(noise(8, -20)))
    cough, hum = part.copy(), part + stereo(tone(8, -60, hz=63))
    cough[RATE * 5 : RATE * 5 + 4800] += 0.01

    once, always = held([part], whole(cough)), held([part], whole(hum))

    assert once.in_short.startswith("The stems null but for 0:05 to 0:06.")
    assert always.in_short.startswith("The stems null but for the octaves at 63 Hz.")
    left = {hz: level for hz, level, _ in always.figures["bands"]}
    assert left[63] == pytest.approx(-63.0, abs=0.05)


@settings(
    max_examples=4, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    gains=st.lists(st.floats(0.1, 1), min_size=1, max_size=3),
    rounds=st.integers(0, 2**32 - 1),
    length=st.integers(5_000, 60_000),
)
def test_any_mix_of_stems_leaves_what_numpy_leaves(held, gains, rounds, length):
    random = np.random.default_rng(rounds)
    stems = [whole(random.uniform(-0.2, 0.2, (length, 2))) for _ in gains]
    mix = whole(sum(gain * stem for gain, stem in zip(gains, stems, strict=True)))

    figures = held(stems, mix).figures

    left = mix - sum(stems)
    assert figures["shift"] == 0
    if left.any():
        assert figures["peak_dbfs"] == pytest.approx(20 * np.log10(np.abs(left).max()), abs=1e-6)
        assert figures["rms_dbfs"] == pytest.approx(db((left**2).mean()), abs=1e-6)
        steps = [left[at : at + RATE] for at in range(0, length, RATE)]
        assert [second[1] for second in figures["seconds"]] == pytest.approx(
            [db((step**2).mean()) for step in steps], abs=1e-6
        )
