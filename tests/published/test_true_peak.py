"""True peak (ITU-R BS.1770-5, Annex 2) against EBU Tech 3341 v4 (November 2023), Table 1, cases 15 to
19 and variants of 20 to 23, and against an ideal interpolation.

Each signal is a sine whose crest falls between the samples, faded in and out over 10 ms.
"""

import numpy as np
import pytest

from sessions.deliverables.measuring import measure
from sessions.deliverables.measuring.true_peak import BLOCK, TruePeak
from tests.published.tech_3341 import PEAKS, metered, peak_readings, peak_tone
from tests.signals import RATE, noise, stereo, tone, write_wav

EVERY_RATE = [8_000, 32_000, 44_100, 48_000, 88_200, 96_000, 176_400, 192_000, 384_000]


@pytest.mark.parametrize("rate", EVERY_RATE)
def test_true_peak_of_tech_3341_at_every_rate(rate):
    assert [str(reading) for reading in peak_readings(rate, "stereo") if not reading.holds] == []


@pytest.mark.parametrize("layout", ["mono", "5.1(side)"])
def test_true_peak_of_tech_3341_in_other_layouts(layout):
    assert [str(reading) for reading in peak_readings(RATE, layout) if not reading.holds] == []


@pytest.mark.parametrize("rate", EVERY_RATE)
@pytest.mark.parametrize(("period", "degrees"), [(4, 45.0), (5, 54.0), (6, 60.0), (8, 67.5)])
def test_sines_whose_crests_fall_between_samples_read_their_level(period, degrees, rate):
    # Half as much oversampling reads fs/5 0.44 dB low, none reads fs/4 3 dB low.
    sine = peak_tone(period, 0.5, degrees, rate, seconds=0.2)

    assert metered(sine, rate=rate).true_peak_dbtp == pytest.approx(-6.02, abs=0.2)


@pytest.mark.parametrize(
    ("case", "reads"), [(16, -9.031), (17, -7.270), (18, -6.708), (19, -0.026)]
)
def test_sample_peak_in_place_of_true_peak_is_found_out(case, reads):
    period, amplitude, degrees, expected = PEAKS[case]

    meter = metered(peak_tone(period, amplitude, degrees))

    assert meter.sample_peak_dbfs == pytest.approx(reads, abs=0.005)
    assert meter.sample_peak_dbfs < expected - 0.4 < meter.true_peak_dbtp


@pytest.mark.parametrize("seed", range(4))
def test_noise_peaks_as_an_ideal_interpolation_has_it(seed):
    """Nothing is passed over: the highest of thousands of points stands anywhere, in any channel."""
    loud = _below_a_third_of_the_rate(noise(1, -6, seed=seed))
    both = np.stack([loud, 0.97 * np.roll(loud, 5000)], axis=1)[:, :: 1 if seed % 2 else -1]

    found = metered(both).true_peak_dbtp

    assert found == pytest.approx(_ideal_peak(loud), abs=0.2)


@pytest.mark.parametrize("edge", ["start", "end"])
def test_tone_cut_at_its_crest_peaks_beside_the_cut(edge, tmp_path):
    """Between the crest and the silence the curve rises above the crest, by nearly a decibel."""
    cut = tone(0.51, -6, degrees=90.0)[: 500 * 48 + 1]
    fade = np.linspace(0, 1, 2400)
    if edge == "start":
        cut[-2400:] *= fade[::-1]
    else:
        cut[:2400] *= fade
    padded = np.concatenate([np.zeros(1000), cut, np.zeros(1000)])

    path = write_wav(tmp_path / "cut.wav", stereo(cut), bits=32, floating=True)

    assert measure(path).true_peak_dbtp == pytest.approx(_ideal_peak(padded), abs=0.1)
    assert _ideal_peak(padded) > -5.3


@pytest.mark.parametrize("dbfs", [-40.0, -60.0, -80.0])
def test_quiet_true_peaks_keep_their_precision(dbfs):
    quiet = tone(0.2, dbfs, hz=RATE / 4, degrees=45.0, fade_seconds=0.01)

    assert metered(quiet).true_peak_dbtp == pytest.approx(dbfs, abs=0.1)


def _ideal_peak(one: np.ndarray) -> float:
    """Peak in dB after eightfold oversampling in the frequency domain."""
    spectrum = np.fft.rfft(one)
    fine = np.fft.irfft(spectrum, 8 * len(one)) * 8
    return float(20 * np.log10(np.abs(fine).max()))


def _below_a_third_of_the_rate(one: np.ndarray) -> np.ndarray:
    spectrum = np.fft.rfft(one)
    spectrum[len(spectrum) * 2 // 3 :] = 0
    low = np.fft.irfft(spectrum, len(one))
    low[:2000] = low[-2000:] = 0
    return low


def test_burst_reads_the_same_wherever_in_a_block_it_ends():
    """Its highest points may belong to the next block, which holds only silence."""
    burst = 0.7 * np.tile([1.0, 1.0, -1.0, -1.0], 3)

    def read(shift):
        sound = np.zeros((1, 4 * BLOCK), np.float32)
        sound[0, shift : shift + len(burst)] = burst
        meter = TruePeak(1)
        meter.add(sound, np.abs(sound[0]))
        meter.finish()
        return round(meter.peak, 5)

    assert len({read(shift) for shift in range(BLOCK)}) == 1
