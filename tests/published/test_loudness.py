"""Loudness and loudness range against EBU Tech 3341, EBU Tech 3342 and ITU-R BS.1770.

Here at 48 kHz in stereo, and beside a second implementation at other rates and layouts; all signals
at all rates and in three layouts: `python -m tests.measure audio --published`. Filter coefficients:
ITU-R BS.1770-4 (10/2015), Annex 1, Tables 1 and 2; at other rates by the same analogue filters. What
a wrong meter reads was computed from the same formulas.
"""

import math
from dataclasses import dataclass

import av
import numpy as np
import pytest
from scipy.signal import lfilter

from sessions.deliverables.measuring import measure
from sessions.deliverables.measuring.layouts import weights_of
from tests.published.tech_3341 import (
    PROGRAMMES,
    RANGES,
    metered,
    range_readings,
    readings,
    steps,
    surround,
    surround_reading,
)
from tests.signals import (
    MASK_5_0_BACK,
    MASK_5_0_SIDE,
    RATE,
    channels,
    noise,
    silence,
    stereo,
    tone,
    write_wav,
)

# Shelf and high-pass: numerator of the first (the second has 1, -2, 1), denominators (a0 = 1).
HIGH_PASS = (1.0, -2.0, 1.0)
FILTERS = {
    44_100: (
        (1.53084123005035, -2.65097999515473, 1.16907907992159),
        (1.0, -1.66365511325602, 0.71259542807323),
        (1.0, -1.98916967362980, 0.98919903578704),
    ),
    48_000: (
        (1.53512485958697, -2.69169618940638, 1.19839281085285),
        (1.0, -1.69065929318241, 0.73248077421585),
        (1.0, -1.99004745483398, 0.99007225036621),
    ),
    96_000: (
        (1.55971422897580, -2.92674157825108, 1.37826120231582),
        (1.0, -1.84460946989011, 0.85584332293064),
        (1.0, -1.99501754472472, 0.99502375904092),
    ),
    192_000: (
        (1.57222721509128, -3.04728305156155, 1.47797134097961),
        (1.0, -1.92220223060749, 0.92511773511683),
        (1.0, -1.99750722284070, 0.99750877835551),
    ),
}


@dataclass(frozen=True)
class PlainMeter:
    """BS.1770 and Tech 3342, written from the text sample by sample: no code is shared with ours.
    Each field can be set wrong."""

    surround_weight: float = 1.41
    absolute_gate: float = -70.0
    relative_gate: float = -10.0
    range_gate: float = -20.0
    lowest: int = 10
    weighted: bool = True
    to_mono: bool = False
    rate: int = RATE
    filters_of: int | None = None

    def integrated(self, samples: np.ndarray) -> float:
        kept = self._gated(self._powers(samples, 4, 10), self.relative_gate)
        return float(_lufs(kept.mean()))

    def range(self, samples: np.ndarray) -> float:
        kept = self._gated(self._powers(samples, 30, 10), self.range_gate)
        low, high = np.percentile(_lufs(kept), [self.lowest, 95])
        return float(high - low)

    def loudest(self, samples: np.ndarray, tenths: int, hops_a_second: int = 100) -> float:
        return float(_lufs(self._powers(samples, tenths, hops_a_second).max()))

    def _gated(self, powers: np.ndarray, relative_gate: float) -> np.ndarray:
        kept = powers[_lufs(powers) >= self.absolute_gate]
        return kept[_lufs(kept) > _lufs(kept.mean()) + relative_gate]

    def _powers(self, samples: np.ndarray, tenths: int, hops_a_second: int) -> np.ndarray:
        """Weighted mean squares of windows so long, so many a second."""
        if self.to_mono:
            samples = samples.mean(axis=1, keepdims=True)
        weights = np.array([1, 1, 1, self.surround_weight, self.surround_weight])
        if self.weighted:
            shelf, below, below_high_pass = FILTERS[self.filters_of or self.rate]
            shelved = lfilter(shelf, below, samples, axis=0)
            samples = lfilter(HIGH_PASS, below_high_pass, shelved, axis=0)
        power = samples**2 @ weights[: samples.shape[1]]
        hop = self.rate // hops_a_second
        hops = power[: len(power) // hop * hop].reshape(-1, hop).mean(axis=1)
        size = tenths * hops_a_second // 10
        return np.lib.stride_tricks.sliding_window_view(hops, size).mean(axis=1)


def _lufs(power):
    with np.errstate(divide="ignore"):
        return -0.691 + 10 * np.log10(power)


def programme(case: int, rate: int = RATE) -> np.ndarray:
    return surround(rate) if case == 6 else stereo(steps(*PROGRAMMES[case], rate=rate))


def within_tolerance(lufs: float, expected: float) -> bool:
    return abs(lufs - expected) <= 0.1


def test_loudness_of_tech_3341():
    assert [str(reading) for reading in readings(RATE, "stereo") if not reading.holds] == []


@pytest.mark.parametrize("layout", ["mono", "5.1(side)"])
@pytest.mark.parametrize("rate", [44_100, 96_000, 192_000])
def test_loudness_of_tech_3341_at_other_rates_and_in_other_layouts(rate, layout):
    short = {12} if rate > RATE else {9, 12, 14}

    assert [str(each) for each in readings(rate, layout, short) if not each.holds] == []


def test_surround_of_tech_3341():
    assert surround_reading(44_100).holds
    assert surround_reading(RATE).holds


def test_loudness_range_of_tech_3342():
    assert [str(reading) for reading in range_readings(RATE, "stereo") if not reading.holds] == []


@pytest.mark.parametrize("case", [1, 2, 3, 4, 5, 6])
def test_both_meters_read_the_exact_values(case):
    # Exact values of a meter in double precision.
    exact = {1: -22.993, 2: -32.993, 3: -23.014, 4: -23.014, 5: -22.979, 6: -23.016}[case]
    layout, samples = "5.0(side)" if case == 6 else "stereo", programme(case)

    assert PlainMeter().integrated(samples) == pytest.approx(exact, abs=0.005)
    assert metered(samples, layout).loudness.integrated_lufs == pytest.approx(exact, abs=0.005)


@pytest.mark.parametrize("rate", FILTERS)
@pytest.mark.parametrize(("layout", "count"), [("mono", 1), ("stereo", 2), ("5.0(side)", 5)])
def test_second_implementation_agrees_on_noise(layout, count, rate):
    levels = np.repeat([-30, -12, -45, -20], rate)  # dB, a second each
    each = [noise(4, 0, rate=rate, seed=seed) * 10 ** (levels / 20) for seed in range(count)]
    plain, samples = PlainMeter(rate=rate), channels(*each)

    loudness = metered(samples, layout, rate).loudness

    assert loudness.integrated_lufs == pytest.approx(plain.integrated(samples), abs=0.002)
    assert loudness.max_momentary_lufs == pytest.approx(plain.loudest(samples, 4), abs=0.002)
    assert loudness.max_short_term_lufs == pytest.approx(plain.loudest(samples, 30), abs=0.002)
    assert loudness.range_lu == pytest.approx(plain.range(samples), abs=0.01)


@pytest.mark.parametrize(
    ("case", "wrong", "reads"),
    [
        (3, PlainMeter(relative_gate=-math.inf), -24.155),
        (4, PlainMeter(relative_gate=-math.inf, absolute_gate=-math.inf), -25.127),
        (4, PlainMeter(relative_gate=-math.inf), -24.187),
        (6, PlainMeter(surround_weight=1.0), -23.389),
        (1, PlainMeter(to_mono=True), -26.00),
        (1, PlainMeter(weighted=False), -23.69),
        (1, PlainMeter(rate=96_000, filters_of=RATE), -23.65),
    ],
)
def test_a_wrong_meter_is_found_out(case, wrong, reads):
    figure = wrong.integrated(programme(case, wrong.rate))

    assert figure == pytest.approx(reads, abs=0.01)
    assert not within_tolerance(figure, -23.0)


def test_momentary_loudness_by_steps_of_100_ms_is_found_out():
    # EBU Tech 3341, case 13, at the worst of its twenty places.
    sounds = [stereo(steps((i * 0.02, None), (0.4, -23), (1, None))) for i in range(20)]

    coarse = min(PlainMeter().loudest(sound, 4, hops_a_second=10) for sound in sounds)
    fine = min(PlainMeter().loudest(sound, 4) for sound in sounds)

    assert coarse == pytest.approx(-23.45, abs=0.01)
    assert fine == pytest.approx(-22.994, abs=0.01)


@pytest.mark.parametrize(
    ("case", "wrong", "reads"),
    [
        (3, PlainMeter(range_gate=-10.0), 1.37),
        (4, PlainMeter(range_gate=-math.inf), 30.0),
        (4, PlainMeter(lowest=5), 17.3),
    ],
)
def test_a_wrong_loudness_range_is_found_out(case, wrong, reads):
    levels, expected = RANGES[case]
    samples = stereo(steps(*levels))

    assert PlainMeter().range(samples) == pytest.approx(expected, abs=0.02)
    assert wrong.range(samples) == pytest.approx(reads, abs=0.1)
    assert abs(wrong.range(samples) - expected) > 1


def test_absolute_gate_leaves_silence_out(tmp_path):
    """Silence that counted would sink the mean by 6 dB, and with it the relative gate below -36."""
    padded = stereo(steps((45, None), (5, -36), (15, -23)))

    measured = measure(write_wav(tmp_path / "padded.wav", padded)).integrated_lufs
    without_gate = PlainMeter(absolute_gate=-math.inf).integrated(padded)

    assert within_tolerance(measured, -23.0)
    assert without_gate == pytest.approx(-24.1, abs=0.1)
    assert not within_tolerance(without_gate, -23.0)


def test_sound_below_the_absolute_gate_has_no_loudness(tmp_path):
    below = measure(write_wav(tmp_path / "below.wav", stereo(steps((2, -70.5)))))
    above = measure(write_wav(tmp_path / "above.wav", stereo(steps((2, -69.5)))))

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
    path = write_wav(tmp_path / "alignment.wav", stereo(steps((5, -18))))

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


def test_loudness_range_of_a_file(tmp_path):
    levels, expected = RANGES[4]
    path = write_wav(tmp_path / "range.wav", stereo(steps(*levels)))

    assert measure(path).loudness_range_lu == pytest.approx(expected, abs=1)


def test_maxima_need_a_window_and_sound():
    tenth_short = metered(tone(2.9, -23)).loudness
    quiet = metered(silence(4)).loudness

    assert tenth_short.max_momentary_lufs == pytest.approx(-23, abs=0.1)
    assert tenth_short.max_short_term_lufs is None
    assert metered(tone(0.39, -23)).loudness.max_momentary_lufs is None
    assert quiet.max_momentary_lufs is quiet.max_short_term_lufs is quiet.integrated_lufs is None


# Azimuths and elevations of ITU-R BS.2051; the weights follow from them (BS.1770-5, Annex 3).
AT = {
    "FL": (30, 0), "FR": (30, 0), "FC": (0, 0), "FLC": (15, 0), "FRC": (15, 0), "SL": (90, 0),
    "SR": (90, 0), "BL": (135, 0), "BR": (135, 0), "BC": (180, 0), "TC": (0, 90), "TFC": (0, 45),
    "TFL": (45, 45), "TFR": (45, 45), "TSL": (90, 45), "TSR": (90, 45), "TBC": (180, 45),
    "TBL": (135, 45), "TBR": (135, 45), "BFC": (0, -30), "BFL": (45, -30), "BFR": (45, -30),
}  # fmt: skip


@pytest.mark.parametrize(
    ("layout", "elsewhere"),
    [
        ("5.1(side)", {}),
        ("5.1", {"BL": (110, 0), "BR": (110, 0)}),
        ("6.1", {}),
        ("7.1", {}),
        ("5.1.4", {}),
        ("7.1.4", {}),
        ("22.2", {"FL": (60, 0), "FR": (60, 0), "FLC": (30, 0), "FRC": (30, 0)}),
    ],
)
def test_layouts_have_the_weights_of_the_recommendation(layout, elsewhere):
    at = AT | elsewhere
    names = [channel.name for channel in av.AudioLayout(layout).channels]
    expected = [
        0 if name.startswith("LFE")
        else 1.41 if 60 <= at[name][0] <= 120 and abs(at[name][1]) < 30
        else 1
        for name in names
    ]  # fmt: skip

    assert weights_of(layout) == expected


@pytest.mark.parametrize("layout", ["24 channels", "downmix"])
def test_channels_without_a_place_have_no_weight(layout):
    assert weights_of(layout) is None
