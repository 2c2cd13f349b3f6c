"""What is wrong with a sound at a glance."""

import numpy as np
import pytest

from sessions.deliverables.measuring import measure
from tests.signals import (
    RATE,
    channels,
    encode,
    noise,
    silence,
    stereo,
    tone,
    write_aiff,
    write_wav,
)


@pytest.mark.parametrize(
    ("used", "bits", "valid"),
    [(24, 24, 24), (20, 24, 20), (16, 24, 16), (16, 16, 16), (24, 32, 24)],
)
@pytest.mark.parametrize("write", [write_wav, write_aiff])
def test_valid_bits_are_those_in_use(write, used, bits, valid, tmp_path):
    steps = 2 ** (used - 1)
    samples = np.round(noise(0.1, -1) * steps)[:, None] / steps

    measured = measure(write(tmp_path / "a.wav", samples, bits=bits))

    assert (measured.bit_depth, measured.valid_bits) == (bits, valid)


def test_valid_bits_of_a_packed_file_and_of_floating_point(tmp_path):
    packed = encode(tmp_path / "a.flac", noise(1, -1)[:, None], "flac", sample_format="s16")
    floating = write_wav(tmp_path / "a.wav", noise(1, -1)[:, None], bits=32, floating=True)

    assert measure(packed).valid_bits == 16
    assert measure(floating).valid_bits is None


def test_dc_offset_of_each_channel(tmp_path):
    samples = channels(tone(3, -20) + 0.01, tone(3, -20) - 0.002)

    offsets = measure(write_wav(tmp_path / "a.wav", samples)).dc_offsets

    assert offsets == pytest.approx([0.01, -0.002], abs=1e-6)


def test_clipped_runs_have_their_channel_time_and_length(tmp_path):
    left, right = tone(4, -6), tone(4, -6)
    left[1000:1003] = left[1010:1012] = 1  # two samples at full scale may be a peak that fits
    left[-5:] = -1
    right[RATE : 3 * RATE] = 1  # goes on while several blocks are read

    measured = measure(write_wav(tmp_path / "a.wav", channels(left, right)))

    assert measured.clipped_run_count == 3
    assert measured.clipped_runs == [[1, 1000, 3], [2, RATE, 2 * RATE], [1, 4 * RATE - 5, 5]]


def test_of_many_clipped_runs_the_first_hundred_are_listed(tmp_path):
    clipped = np.clip(tone(1, 6, hz=200), -1, 1)

    measured = measure(write_wav(tmp_path / "a.wav", clipped[:, None], bits=16))

    assert measured.clipped_run_count == 400
    assert [frame // 120 for _, frame, _ in measured.clipped_runs] == list(range(100))


def test_silence_at_the_ends(tmp_path):
    sound = np.concatenate([silence(3), tone(1, -20, degrees=90), silence(2)])
    sound[10] = 2**-17  # less than a step of 16 bits

    measured = measure(write_wav(tmp_path / "a.wav", channels(sound, 0 * sound)))

    assert measured.silent_frames_at_start == 3 * RATE
    assert measured.silent_frames_at_end == 2 * RATE
    assert measured.dead_channels == [2]
    assert measured.identical_channels == measured.antiphase_channels == []


def test_silent_file_is_silent_at_both_ends(tmp_path):
    measured = measure(write_wav(tmp_path / "a.wav", stereo(silence(1))))

    assert (measured.silent_frames_at_start, measured.silent_frames_at_end) == (RATE, RATE)
    assert measured.dead_channels == [1, 2]
    assert measured.valid_bits is None


def test_channels_that_say_the_same(tmp_path):
    one, other = noise(4, -20, seed=1), noise(4, -20, seed=2)
    nearly = one.copy()
    nearly[-1] += 0.1

    samples = channels(one, other, -one, one, nearly)
    measured = measure(write_wav(tmp_path / "a.wav", samples, bits=32, floating=True))

    assert measured.identical_channels == [[1, 4]]
    assert measured.antiphase_channels == [[1, 3], [3, 4]]
