"""True peak against EBU Tech 3341 v4 (November 2023), Table 1, cases 15 to 19.

Each signal is a sine whose crest falls between the samples, faded in and out over 10 ms.
"""

import numpy as np
import pytest

from sessions.deliverables.measuring import measure
from tests.signals import RATE, stereo, tone, write_wav

# Case: (samples in a period, amplitude, phase in degrees, expected dBTP).
CASES = {
    15: (4, 0.50, 0.0, -6.0),
    16: (4, 0.50, 45.0, -6.0),
    17: (6, 0.50, 60.0, -6.0),
    18: (8, 0.50, 67.5, -6.0),
    19: (4, 1.41, 45.0, +3.0),
}


def signal(case: int, rate: int = RATE) -> np.ndarray:
    period, peak, degrees, _ = CASES[case]
    level = 20 * np.log10(peak)
    sine = tone(1, level, hz=rate / period, rate=rate, degrees=degrees, fade_seconds=0.01)
    return stereo(sine)


def within_tolerance(dbtp: float, expected: float) -> bool:
    return -0.4 <= dbtp - expected <= 0.2


def file_of(case: int, folder, rate: int = RATE):
    samples = signal(case, rate)
    return write_wav(folder / "case.wav", samples, rate=rate, bits=32, floating=True)


@pytest.mark.parametrize("rate", [44_100, 48_000, 96_000])
@pytest.mark.parametrize("case", CASES)
def test_true_peak_of_tech_3341(case, rate, tmp_path):
    measured = measure(file_of(case, tmp_path, rate))

    assert within_tolerance(measured.true_peak_dbtp, CASES[case][3])


@pytest.mark.parametrize(
    ("case", "reads"), [(16, -9.031), (17, -7.270), (18, -6.708), (19, -0.026)]
)
def test_sample_peak_in_place_of_true_peak_is_found_out(case, reads, tmp_path):
    measured = measure(file_of(case, tmp_path))

    assert measured.sample_peak_dbfs == pytest.approx(reads, abs=0.005)
    assert not within_tolerance(measured.sample_peak_dbfs, CASES[case][3])


@pytest.mark.parametrize("case", [17, 18])
def test_the_fades_matter(case, tmp_path):
    """A sine that sets in at once has a higher crest at the edge, and the meter sees it."""
    period, peak, degrees, expected = CASES[case]
    sudden = tone(0.1, 20 * np.log10(peak), hz=RATE / period, degrees=degrees)
    padded = np.concatenate([np.zeros(100), sudden, np.zeros(100)])

    path = write_wav(tmp_path / "sudden.wav", stereo(padded), bits=32, floating=True)

    assert measure(path).true_peak_dbtp == pytest.approx(_ideal_peak(padded), abs=0.05)
    assert not within_tolerance(_ideal_peak(padded), expected)


@pytest.mark.parametrize("dbfs", [-40.0, -60.0, -80.0])
def test_quiet_true_peaks_keep_their_precision(dbfs, tmp_path):
    samples = stereo(tone(1, dbfs, hz=RATE / 4, degrees=45.0, fade_seconds=0.01))

    path = write_wav(tmp_path / "quiet.wav", samples, bits=32, floating=True)

    assert within_tolerance(measure(path).true_peak_dbtp, dbfs)


def test_peak_at_the_very_end_counts(tmp_path):
    samples = stereo(np.concatenate([tone(1.05, -40), [0.9]]))

    measured = measure(write_wav(tmp_path / "end.wav", samples))

    assert measured.sample_peak_dbfs == pytest.approx(-0.915, abs=0.001)
    assert measured.true_peak_dbtp >= measured.sample_peak_dbfs


def _ideal_peak(one: np.ndarray) -> float:
    """Peak in dB after eightfold oversampling in the frequency domain."""
    spectrum = np.fft.rfft(one)
    fine = np.fft.irfft(spectrum, 8 * len(one)) * 8
    return float(20 * np.log10(np.abs(fine).max()))
