"""Loudness and loudness range against EBU Tech 3341, EBU Tech 3342 and ITU-R BS.1770.

Signals and expected values: EBU Tech 3341 v4 (November 2023), Table 1, cases 1 to 6, and
EBU Tech 3342, test signals 1 to 4. Filter coefficients: ITU-R BS.1770-4 (10/2015), Annex 1, Tables
1 and 2. What a wrong meter reads was computed from the same formulas.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import av
import numpy as np
import pytest

from sessions.deliverables.measuring import measure
from sessions.deliverables.measuring.meter import Meter
from tests.signals import (
    MASK_5_0_BACK,
    MASK_5_0_SIDE,
    RATE,
    channels,
    silence,
    stereo,
    tone,
    write_wav,
)

LOUDNESS_TOLERANCE_LU = 0.1
RANGE_TOLERANCE_LU = 1.0


def steps(*seconds_and_dbfs: tuple[float, float]) -> np.ndarray:
    return stereo(np.concatenate([tone(seconds, dbfs) for seconds, dbfs in seconds_and_dbfs]))


def surround() -> np.ndarray:
    front, centre, rear = tone(20, -28), tone(20, -24), tone(20, -30)
    return channels(front, front, centre, rear, rear)


CASES = {
    1: (lambda: steps((20, -23)), -23.0),
    2: (lambda: steps((20, -33)), -33.0),
    3: (lambda: steps((10, -36), (60, -23), (10, -36)), -23.0),
    4: (lambda: steps((10, -72), (10, -36), (60, -23), (10, -36), (10, -72)), -23.0),
    5: (lambda: steps((20, -26), (20.1, -20), (20, -26)), -23.0),
    6: (surround, -23.0),
}


def within_tolerance(lufs: float, expected: float) -> bool:
    return abs(lufs - expected) <= LOUDNESS_TOLERANCE_LU


# The filters at 48 kHz: numerator and denominator (a0 = 1) of the shelf and of the high-pass.
SHELF = (
    (1.53512485958697, -2.69169618940638, 1.19839281085285),
    (1.0, -1.69065929318241, 0.73248077421585),
)
HIGH_PASS = ((1.0, -2.0, 1.0), (1.0, -1.99004745483398, 0.99007225036621))


@dataclass(frozen=True)
class PlainMeter:
    """The arithmetic of BS.1770, written from the text; each field can be set wrong."""

    surround_weight: float = 1.41
    absolute_gate: float = -70.0
    relative_gate: float = -10.0
    weighted: bool = True
    to_mono: bool = False

    def integrated(self, samples: np.ndarray) -> float:
        if self.to_mono:
            samples = samples.mean(axis=1, keepdims=True)
        weights = np.array([1, 1, 1, self.surround_weight, self.surround_weight])
        powers = self._block_powers(samples) @ weights[: samples.shape[1]]
        kept = powers[_lufs(powers) > self.absolute_gate]
        kept = kept[_lufs(kept) > _lufs(kept.mean()) + self.relative_gate]
        return float(_lufs(kept.mean()))

    def _block_powers(self, samples: np.ndarray) -> np.ndarray:
        """Mean squares of blocks of 400 ms, one each 100 ms."""
        if self.weighted:
            samples = np.stack([k_weighted(one) for one in samples.T], axis=1)
        step = RATE // 10
        whole = len(samples) // step
        tenths = (samples[: whole * step] ** 2).reshape(whole, step, -1).mean(axis=1)
        return np.lib.stride_tricks.sliding_window_view(tenths, 4, axis=0).mean(axis=2)


def _lufs(power):
    with np.errstate(divide="ignore"):
        return -0.691 + 10 * np.log10(power)


def k_weighted(one: np.ndarray) -> np.ndarray:
    """Both filters, applied through their frequency response (zeros behind take up the tail)."""
    size = (len(one) // RATE // 12 + 1) * 12 * RATE  # small prime factors: a fast transform
    spectrum = np.fft.rfft(one.astype(np.float32), size)
    return np.fft.irfft(spectrum * k_response(size), size)[: len(one)]


@lru_cache(maxsize=2)
def k_response(size: int) -> np.ndarray:
    z = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
    response = np.ones(len(z), dtype=complex)
    for above, below in (SHELF, HIGH_PASS):
        response *= np.polyval(above[::-1], z) / np.polyval(below[::-1], z)
    return response.astype(np.complex64)


@pytest.mark.parametrize("case", CASES)
def test_integrated_loudness_of_tech_3341(case, tmp_path):
    make, expected = CASES[case]

    measured = measure(write_wav(tmp_path / "case.wav", make())).integrated_lufs

    assert within_tolerance(measured, expected)


@pytest.mark.parametrize("case", CASES)
def test_plain_meter_agrees_on_tech_3341(case):
    # Exact values of a meter in double precision.
    exact = {1: -22.993, 2: -32.993, 3: -23.014, 4: -23.014, 5: -22.979, 6: -23.016}

    assert PlainMeter().integrated(CASES[case][0]()) == pytest.approx(exact[case], abs=0.005)


@pytest.mark.parametrize(
    ("case", "wrong", "reads"),
    [
        (3, PlainMeter(relative_gate=-math.inf), -24.155),
        (4, PlainMeter(relative_gate=-math.inf, absolute_gate=-math.inf), -25.127),
        (4, PlainMeter(relative_gate=-math.inf), -24.187),
        (6, PlainMeter(surround_weight=1.0), -23.389),
        (1, PlainMeter(to_mono=True), -26.00),
        (1, PlainMeter(weighted=False), -23.69),
    ],
)
def test_a_wrong_meter_is_found_out(case, wrong, reads):
    make, expected = CASES[case]

    figure = wrong.integrated(make())

    assert figure == pytest.approx(reads, abs=0.01)
    assert not within_tolerance(figure, expected)


def test_absolute_gate_leaves_silence_out(tmp_path):
    """Silence that counted would sink the mean by 6 dB, and with it the relative gate below -36."""
    padded = np.concatenate([stereo(silence(45)), steps((5, -36), (15, -23))])

    measured = measure(write_wav(tmp_path / "padded.wav", padded)).integrated_lufs
    without_gate = PlainMeter(absolute_gate=-math.inf).integrated(padded)

    assert within_tolerance(measured, -23.0)
    assert without_gate == pytest.approx(-24.1, abs=0.1)
    assert not within_tolerance(without_gate, -23.0)


def test_sound_below_the_absolute_gate_has_no_loudness(tmp_path):
    below = measure(write_wav(tmp_path / "below.wav", steps((2, -70.5))))
    above = measure(write_wav(tmp_path / "above.wav", steps((2, -69.5))))

    assert below.integrated_lufs is None
    assert within_tolerance(above.integrated_lufs, -69.5)


@pytest.mark.parametrize("mask", [None, MASK_5_0_SIDE, MASK_5_0_BACK])
def test_surround_channels_weigh_more_however_the_file_names_them(mask, tmp_path):
    path = write_wav(tmp_path / "surround.wav", surround(), mask=mask)

    assert within_tolerance(measure(path).integrated_lufs, -23.0)


@pytest.mark.parametrize(("both", "expected"), [(False, -3.01), (True, 0.0)])
def test_full_scale_sine_anchors_the_scale(both, expected, tmp_path):
    # ITU-R BS.1770-4, Annex 1: 0 dBFS, 997 Hz, in one front channel reads -3.01.
    sine = tone(5, 0, hz=997)
    samples = channels(sine, sine if both else silence(5))

    path = write_wav(tmp_path / "anchor.wav", samples, bits=32, floating=True)

    assert measure(path).integrated_lufs == pytest.approx(expected, abs=0.02)


def test_alignment_tone_reads_its_level(tmp_path):
    # EBU Tech 3341, section 2.9: stereo 1 kHz at -18 dBFS reads -18.0.
    path = write_wav(tmp_path / "alignment.wav", steps((5, -18)))

    assert within_tolerance(measure(path).integrated_lufs, -18.0)


@pytest.mark.parametrize("rate", [44_100, 88_200, 96_000, 192_000])
@pytest.mark.parametrize(("hz", "gain"), [(60, -2.9), (1000, 0.691)])
def test_filters_follow_the_sample_rate(rate, hz, gain, tmp_path):
    # Filters of 48 kHz used at 96 kHz read -23.65 at 1 kHz and 5.4 dB too low at 60 Hz.
    samples = stereo(tone(5, -23, hz=hz, rate=rate))

    measured = measure(write_wav(tmp_path / "rate.wav", samples, rate=rate)).integrated_lufs

    expected = PlainMeter().integrated(stereo(tone(5, -23, hz=hz)))
    assert within_tolerance(measured, expected)
    assert within_tolerance(measured, -23 - 0.691 + gain)


RANGES = {
    1: (((20, -20), (20, -30)), 10.0),
    2: (((20, -20), (20, -15)), 5.0),
    3: (((20, -40), (20, -20)), 20.0),
    4: (((20, -50), (20, -35), (20, -20), (20, -35), (20, -50)), 15.0),
}


def range_within_tolerance(range_lu: float, expected: float) -> bool:
    return abs(range_lu - expected) <= RANGE_TOLERANCE_LU


@pytest.mark.parametrize("case", RANGES)
def test_loudness_range_of_tech_3342(case):
    # Straight into the meter: three of the signals are shorter than the minute asked of a file.
    levels, expected = RANGES[case]
    frame = av.AudioFrame.from_ndarray(
        steps(*levels).astype(np.float32).reshape(1, -1), format="flt", layout="stereo"
    )
    frame.sample_rate = RATE
    meter = Meter(frame)

    meter.push(frame)
    meter.finish()

    assert range_within_tolerance(meter.loudness.range_lu, expected)


def test_loudness_range_of_a_file(tmp_path):
    levels, expected = RANGES[4]

    measured = measure(write_wav(tmp_path / "range.wav", steps(*levels))).loudness_range_lu

    assert range_within_tolerance(measured, expected)


@pytest.mark.parametrize(
    ("case", "wrong", "reads"),
    [
        (3, {"relative_gate": -10.0}, 1.37),
        (4, {"relative_gate": -math.inf}, 30.0),
        (4, {"lowest": 5}, 17.3),
    ],
)
def test_a_wrong_loudness_range_is_found_out(case, wrong, reads):
    levels, expected = RANGES[case]

    right = plain_loudness_range(steps(*levels))
    figure = plain_loudness_range(steps(*levels), **wrong)

    assert right == pytest.approx(expected, abs=0.02)
    assert figure == pytest.approx(reads, abs=0.1)
    assert not range_within_tolerance(figure, expected)


def plain_loudness_range(samples, *, relative_gate=-20.0, lowest=10, highest=95) -> float:
    """EBU Tech 3342: spread of the loudness of 3 s windows, one each 100 ms."""
    step = RATE // 10
    both = 2 * k_weighted(samples[:, 0]) ** 2
    tenths = both.reshape(-1, step).mean(axis=1)
    powers = np.lib.stride_tricks.sliding_window_view(tenths, 30).mean(axis=1)
    kept = powers[_lufs(powers) > -70.0]
    kept = _lufs(kept[_lufs(kept) > _lufs(kept.mean()) + relative_gate])
    low, high = np.percentile(kept, [lowest, highest])
    return float(high - low)
