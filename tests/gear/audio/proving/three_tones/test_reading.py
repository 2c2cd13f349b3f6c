import numpy as np
import pytest

from gear.audio.proving.result import NotMeasured
from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.reading import find_tones
from tests.gear.audio.proving.three_tones.returns import (
    PLAN,
    filtered,
    noise,
    played,
    returned,
)


def levels(read):
    return [tone.dbfs for tone in read.tones]


def refusal(samples, rate_hz=48_000, plan=PLAN):
    with pytest.raises(NotMeasured) as refused:
        find_tones(plan, samples, rate_hz)
    return refused.value


def keys(read):
    return [fault.key for fault in read.faults]


def test_tones_come_back_as_they_were_sent():
    read = find_tones(PLAN, returned(), 48_000)
    assert [tone.hertz for tone in read.tones] == [80, 1000, 10_000]
    assert levels(read) == pytest.approx([-20] * 3, abs=1e-4)
    assert read.faults == ()


@pytest.mark.parametrize("rate_hz", [44_100, 96_000])
def test_tones_at_other_rates(rate_hz):
    plan = ThreeTones(rate_hz, -12.5, 31.5, 16_000)
    assert levels(find_tones(plan, returned(plan), rate_hz)) == pytest.approx([-12.5] * 3, abs=1e-4)


def test_return_that_was_recorded_at_another_rate_than_the_file_has():
    read = find_tones(PLAN, returned(rate_hz=44_100), 44_100)
    assert levels(read) == pytest.approx([-20] * 3, abs=1e-4)


@pytest.mark.parametrize("ppm", [-150, 30])
def test_clocks_that_differ_take_nothing_from_a_level(ppm):
    read = find_tones(PLAN, returned(ppm=ppm, late_s=7.123), 48_000)
    assert levels(read) == pytest.approx([-20] * 3, abs=1e-4)
    assert read.starts_s == pytest.approx(8.123, abs=0.03)


def test_low_cut_is_read_at_the_bottom():
    """An 80 Hz low cut of the second order: 3 dB at 80 Hz, as scipy's own response says."""
    samples, decibels = filtered(returned(), "highpass", 80)
    assert decibels(80) == pytest.approx(-3.01, abs=0.01)
    read = find_tones(PLAN, samples, 48_000)
    expected = [-20 + decibels(hertz) for hertz in (80, 1000, 10_000)]
    assert levels(read) == pytest.approx(expected, abs=1e-3)


def test_noise_at_40_db_moves_no_level_by_a_hundredth():
    samples = returned()
    samples = samples + noise(samples.size, -63)
    assert levels(find_tones(PLAN, samples, 48_000)) == pytest.approx([-20] * 3, abs=0.01)


def test_noise_in_the_band_is_taken_off():
    """60 dB of low pass at 10 kHz, white noise 20 dB over the tone: the power of the noise in its band
    is a hundredth of the whole, so that without the correction it would read 2 dB too much."""
    samples, decibels = filtered(returned(), "lowpass", 1500, order=4)
    samples = samples + noise(samples.size, -20 + decibels(10_000) + 15)
    read = find_tones(PLAN, samples, 48_000)
    assert levels(read)[2] == pytest.approx(-20 + decibels(10_000), abs=0.3)


def test_tape_that_wows_loses_nothing():
    """0.2 % at 0.8 Hz, the speed of a capstan (common practice, no source)."""
    seconds = np.arange(round(30 * 48_000)) / 48_000
    heard = seconds + 0.002 / (2 * np.pi * 0.8) * np.sin(2 * np.pi * 0.8 * seconds)
    read = find_tones(PLAN, played(PLAN, heard), 48_000)
    assert levels(read) == pytest.approx([-20] * 3, abs=0.01)


def test_tone_under_the_noise_is_not_told():
    samples, _ = filtered(returned(), "lowpass", 1500, order=8)
    read = find_tones(PLAN, samples + noise(samples.size, -70), 48_000)
    assert levels(read)[2] is None
    assert [fault.sentence for fault in read.faults] == [
        "10 kHz lies under the noise: its level can’t be told."
    ]


def test_hum_at_the_tones_own_frequency_is_said():
    """31 dB below a tone, it may add or take 20 lg(1 ± 10^(-31/20)): a quarter of a decibel."""
    samples = returned()
    seconds = np.arange(samples.size) / 48_000
    samples = samples + 10 ** (-51 / 20) * np.sin(2 * np.pi * 80 * seconds)
    (fault,) = find_tones(PLAN, samples, 48_000).faults
    assert (fault.key, "31 dB below" in fault.sentence) == ("masked", True)
    assert "may be off by 0.2 dB" in fault.sentence


def test_dropout_is_said_with_its_time():
    samples = returned().copy()
    samples[round(5.5 * 48_000) : round(5.52 * 48_000)] = 0
    (fault,) = find_tones(PLAN, samples, 48_000).faults
    assert fault.key == "dropout"
    assert fault.at_s == pytest.approx(5.51, abs=0.03)


def test_distortion_is_said():
    """A sine that clips symmetrically at half its amplitude has 25 % of it (closed form, §15.4)."""
    samples = np.clip(returned(), -0.05, 0.05)
    assert keys(find_tones(PLAN, samples, 48_000)) == ["distorted"]


def test_gain_that_was_moved_meanwhile():
    samples = returned().copy()
    samples[24 * 48_000 :] *= 10 ** (1 / 20)
    assert refusal(samples).key == "gain changed"
    assert "1 kHz is 1.0 dB louder at the end" in str(refusal(samples))


def test_gear_that_drifts_is_told_of():
    samples = returned() * np.linspace(1, 10 ** (0.3 / 20), returned().size)
    assert keys(find_tones(PLAN, samples, 48_000)) == ["moved"]


def test_recording_that_begins_too_late_or_ends_too_early():
    samples = returned()
    assert refusal(samples[4 * 48_000 :]).key == "too short"
    assert refusal(samples[: -5 * 48_000]).key == "too short"
    assert refusal(samples[: 5 * 48_000]).key == "too short"


def test_recording_that_begins_with_the_first_tone():
    assert levels(find_tones(PLAN, returned()[48_000:], 48_000)) == pytest.approx(
        [-20] * 3, abs=1e-4
    )


@pytest.mark.parametrize(("read_as", "heard"), [(44_100, "918.8 Hz"), (96_000, "2 kHz")])
def test_file_that_was_played_at_another_rate(read_as, heard):
    refused = refusal(returned(), read_as)
    assert refused.key == "other rate"
    assert f"1 kHz comes back as {heard}" in str(refused)
    assert "Set both to 48 kHz" in str(refused)


def test_converter_that_clips():
    assert refusal(np.clip(20 * returned(), -1, 1)).key == "clipped"


def test_silence_and_what_is_no_sound():
    assert refusal(np.zeros(30 * 48_000)).key == "silent"
    assert refusal(np.zeros(0)).key == "silent"
    assert refusal(np.full(30 * 48_000, np.nan)).key == "not sound"


def _music(count):
    """Chords that change every half second: 1 kHz is in many of them."""
    rng = np.random.default_rng(3)
    seconds = np.arange(24_000) / 48_000
    made = [
        sum(0.1 * np.sin(2 * np.pi * hertz * seconds) for hertz in rng.choice(_NOTES, 4))
        for _ in range(count // 24_000)
    ]
    return np.concatenate(made)


_NOTES = [80, 160, 250, 500, 750, 1000, 1250, 2000, 10_000]


@pytest.mark.parametrize(
    "other",
    [
        noise(31 * 48_000, -30),
        _music(31 * 48_000),
        0.1 * np.sin(2 * np.pi * 1000 * np.arange(31 * 48_000) / 48_000),
        returned(ThreeTones(48_000, -20, 100, 8000)),
        returned(ThreeTones(48_000, -20, 80, 12_500)),
        returned(ThreeTones(48_000, -20, 63, 10_000)),
    ],
    ids=["noise", "music", "1 kHz", "other outer tones", "another top", "another bottom"],
)
def test_another_recording(other):
    assert refusal(other).key == "other file"


def test_any_piece_of_the_file_is_read_or_refused():
    """From 1 sample to all of it: never an error of another kind."""
    samples = returned()
    for seconds in (1e-4, 0.01, 0.1, 0.5, 3, 9, 15, 20, 25):
        assert refusal(samples[48_000 : 48_000 + max(1, round(seconds * 48_000))]).key in {
            "too short",
            "silent",
        }
