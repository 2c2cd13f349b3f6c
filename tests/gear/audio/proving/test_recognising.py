"""Recordings that are no return of the test file, or a damaged one: each is called what it is."""

import numpy as np
import pytest

from gear.audio.proving.analysing import analyse
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import NotMeasured
from tests.simulated import Chain, Compressor, Gain, HighPass, Peak, Polynomial, simulated_return

RATE = 48_000
PLAN = Plan(RATE, -12.0)
CHAIN = Chain(
    (Gain(2), HighPass(40), Peak(2500, 5, 1.0)),
    polarity=-1,
    latency_samples=500.4,
    clock_ppm=8,
    noise_dbfs=-85,
)


@pytest.fixture(scope="module")
def returned():
    samples = simulated_return(PLAN, CHAIN, 1).astype(np.float32)
    samples.setflags(write=False)
    return samples


def refusal(samples, rate=RATE):
    with pytest.raises(NotMeasured) as raised:
        analyse(PLAN, samples, rate)
    return raised.value.key, str(raised.value)


def with_zeros(samples, second, length_s):
    gap = samples.copy()
    gap[round(second * RATE) : round((second + length_s) * RATE)] = 0
    return gap


def without(samples, second, count):
    return np.delete(samples, slice(round(second * RATE), round(second * RATE) + count))


@pytest.mark.parametrize(
    ("samples", "key"),
    [
        (np.zeros(0, np.float32), "not sound"),
        (np.zeros(RATE, np.int16), "not sound"),
        (np.zeros((2, RATE), np.float32), "not sound"),
        (np.full(RATE, np.nan, np.float32), "not sound"),
        (np.zeros(70 * RATE, np.float32), "silent"),
        (np.full(RATE, 0.1, np.float32), "too short"),
    ],
    ids=["empty", "whole numbers", "two channels", "no numbers", "silence", "a second"],
)
def test_what_holds_no_return(samples, key):
    assert refusal(samples)[0] == key


def test_noise_is_another_file():
    noise = np.random.default_rng(1).standard_normal(70 * RATE).astype(np.float32) / 10

    assert refusal(noise)[0] == "other file"


def test_other_rate_of_the_file(returned):
    assert refusal(returned, 44_100)[1].startswith(
        "The recording is at 44.1 kHz, the test file at 48 kHz."
    )


def test_file_played_too_fast_is_told_by_the_speed(returned):
    at = np.arange(0, len(returned) - 1, 1.02)
    faster = np.interp(at, np.arange(len(returned)), returned).astype(np.float32)

    key, sentence = refusal(faster)

    assert key == "other rate"
    assert sentence.startswith("The recording runs at 102.0 % of the speed")


def test_return_played_backwards_is_no_return(returned):
    assert refusal(returned[::-1].copy())[0] == "other file"


@pytest.mark.parametrize(("from_s", "to_s"), [(0, 40), (1, 80), (10, 40)])
def test_part_of_a_return_is_too_short(returned, from_s, to_s):
    assert refusal(returned[from_s * RATE : to_s * RATE])[0] == "too short"


def test_crosstalk_is_another_channel(returned):
    noise = 1e-5 * np.random.default_rng(2).standard_normal(len(returned)).astype(np.float32)

    key, sentence = refusal(returned / 1000 + noise)

    assert key == "other channel"
    assert "57 dB quieter" in sentence


def test_clipping_at_full_scale_is_told_with_its_place(returned):
    loudest = np.abs(returned).max()

    assert refusal(np.clip(returned * 1.3 / loudest, -1, 1))[0] == "clipped"


@pytest.mark.parametrize("second", [1.5, 6.0, 20.0, 30.0, 36.2, 48.0, 60.0])
def test_gap_of_five_milliseconds_is_told_with_its_place(returned, second):
    key, sentence = refusal(with_zeros(returned, second, 0.005))

    assert key == "dropout"
    assert f"drops out at {second:.1f} s" in sentence


@pytest.mark.parametrize("count", [64, 480])
@pytest.mark.parametrize("second", [9.8, 62.9])
def test_samples_lost_where_nothing_sounds_are_counted(returned, second, count):
    key, sentence = refusal(without(returned, second, count))

    assert key == "dropout"
    assert f"about {count} samples are missing" in sentence


def test_part_that_was_cut_out_is_told_with_its_length(returned):
    assert "0.50 s are missing" in refusal(without(returned, 20, RATE // 2))[1]


@pytest.mark.parametrize("second", [12.0, 38.0, 50.0])
def test_gain_that_was_turned_is_told_in_decibels(returned, second):
    turned = returned.copy()
    turned[round(second * RATE) :] *= 10 ** (-0.5 / 20)

    key, sentence = refusal(turned)

    assert key == "gain changed"
    assert sentence.startswith("The last tone came back 0.5 dB quieter")


def test_noise_that_hides_everything_is_refused(returned):
    noise = np.random.default_rng(3).standard_normal(len(returned)).astype(np.float32)

    assert refusal(returned + noise / 10)[0] == "noisy"


def test_noise_that_disturbs_is_a_fault(returned):
    noise = np.random.default_rng(3).standard_normal(len(returned)).astype(np.float32)

    result = analyse(PLAN, returned + 0.001 * noise, RATE)

    # -60 dBFS is -57 against a sine’s peak (AES17), -57.8 up to 20 kHz; the tone came back at -39.
    assert [fault.key for fault in result.faults] == ["noisy"]
    assert result.faults[0].sentence.startswith("Noise lies only 19 dB below")


def test_click_is_a_crackle_that_a_measurement_stands(returned):
    clicked = returned.copy()
    clicked[round(30.0 * RATE)] += 0.05

    result = analyse(PLAN, clicked, RATE)

    assert [fault.key for fault in result.faults] == ["crackles"]
    assert result.faults[0].at_s == pytest.approx(30.0, abs=0.01)


def test_return_with_much_before_and_after_is_read(returned):
    pause = np.zeros(20 * RATE, np.float32)

    result = analyse(PLAN, np.concatenate([pause, returned, pause]), RATE)

    assert result.faults == ()
    assert result.latency_samples == pytest.approx(20 * RATE + 500.4, abs=1)


def test_compressor_that_lets_go_as_a_sweep_fades_out_is_no_crackle():
    compressor = Compressor(-15, 7.4, 0, 4.4, 160, make_up_db=9.5, detector="rms")
    chain = Chain((Gain(-2), compressor, Polynomial(0.1, -0.007), Gain(-8)), noise_dbfs=-95)

    assert analyse(PLAN, simulated_return(PLAN, chain, 1), RATE).faults == ()
