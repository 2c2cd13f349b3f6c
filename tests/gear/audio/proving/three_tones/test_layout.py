import io
import wave

import numpy as np
import pytest

from gear.audio.proving.signal import write_wav
from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.reading import find_tones


def test_file_takes_half_a_minute():
    assert ThreeTones(48_000, -20).length_s == 29


def test_file_as_any_reader_of_wav_reads_it():
    """The standard library's own; a sine's peak stands at the level that was asked for."""
    plan, file = ThreeTones(48_000, -18), io.BytesIO()
    write_wav(plan, file)
    with wave.open(io.BytesIO(file.getvalue())) as read:
        assert (read.getnchannels(), read.getsampwidth(), read.getframerate()) == (1, 3, 48_000)
        raw = np.frombuffer(read.readframes(read.getnframes()), np.uint8).reshape(-1, 3)
    whole = np.pad(raw, ((0, 0), (1, 0))).view("<i4").ravel() / 2**31
    assert 20 * np.log10(np.max(np.abs(whole))) == pytest.approx(-18, abs=1e-4)
    assert find_tones(plan, whole, 48_000).tones[1].dbfs == pytest.approx(-18, abs=1e-4)


def test_layout_is_read_back():
    plan = ThreeTones(96_000, -6, 40, 12_500)
    assert ThreeTones.from_json(plan.as_json()) == plan
    with pytest.raises(ValueError, match="another version"):
        ThreeTones.from_json(plan.as_json() | {"version": 0})


def test_layout_refuses_what_no_file_can_hold():
    with pytest.raises(ValueError, match="higher sample rate"):
        ThreeTones(32_000, -20, top_hz=16_000)
    with pytest.raises(ValueError, match="0 dBFS at most"):
        ThreeTones(48_000, 1)
