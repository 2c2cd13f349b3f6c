"""Measuring good files: every format the trade hands over, and what is noted about each."""

import hashlib
from fractions import Fraction

import numpy as np
import pytest

from sessions.deliverables.measuring import (
    WAVEFORM_COLUMNS,
    WAVEFORM_FULL_SCALE,
    Measurement,
    measure,
    measure_in_child,
)
from tests.signals import (
    MASK_STEREO,
    RATE,
    bext,
    channels,
    chunk,
    encode,
    noise,
    silence,
    stereo,
    tone,
    write_aiff,
    write_wav,
)

FRAMES = RATE
LOUDNESS = -22.45  # measured once from the samples below, as 24-bit WAV


@pytest.fixture(scope="module")
def sound():
    """A second of a tone on the left and noise on the right."""
    return channels(tone(1, -20), noise(1, -30))


@pytest.mark.parametrize(
    ("bits", "floating", "codec"),
    [
        (16, False, "pcm_s16le"),
        (24, False, "pcm_s24le"),
        (32, False, "pcm_s32le"),
        (32, True, "pcm_f32le"),
        (64, True, "pcm_f64le"),
    ],
)
@pytest.mark.parametrize("mask", [None, MASK_STEREO])
def test_wav_of_every_sample_format(bits, floating, codec, mask, sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound, bits=bits, floating=floating, mask=mask)

    measured = measure(path)

    assert (measured.container, measured.codec) == ("wav", codec)
    assert (measured.bit_depth, measured.lossless) == (bits, True)
    assert (measured.sample_rate, measured.channels) == (RATE, 2)
    assert measured.channel_layout == "stereo"
    assert (measured.frames, measured.duration_seconds) == (FRAMES, 1)
    assert measured.sample_peak_dbfs == pytest.approx(-20, abs=0.002)
    assert measured.true_peak_dbtp == pytest.approx(-20, abs=0.05)
    assert measured.integrated_lufs == pytest.approx(LOUDNESS, abs=0.02)
    assert measured.size_bytes == path.stat().st_size
    assert measured.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("kind", [b"RF64", b"BW64"])
def test_wav_with_64_bit_lengths(kind, sound, tmp_path):
    measured = measure(write_wav(tmp_path / "a.wav", sound, kind=kind))

    assert measured.container == kind.decode().lower()
    assert measured.frames == FRAMES


@pytest.mark.parametrize(
    ("compression", "bits"), [(b"", 16), (b"", 24), (b"NONE", 24), (b"sowt", 16)]
)
def test_aiff_and_aiff_c(compression, bits, sound, tmp_path):
    measured = measure(write_aiff(tmp_path / "a.aiff", sound, bits=bits, compression=compression))

    assert (measured.container, measured.bit_depth, measured.frames) == ("aiff", bits, FRAMES)
    assert measured.integrated_lufs == pytest.approx(LOUDNESS, abs=0.02)


@pytest.mark.parametrize(
    ("name", "codec", "sample_format", "container", "bits"),
    [
        ("a.flac", "flac", "s16", "flac", 16),
        ("a.flac", "flac", "s32", "flac", 24),
        ("a.m4a", "alac", "s32p", "mp4", 24),
        ("a.mka", "flac", "s16", "matroska", 16),
        ("a.caf", "pcm_s24be", "s32", "caf", 24),
        ("a.wav", "pcm_s16le", "s16", "wav", 16),
        ("a.aiff", "pcm_s16be", "s16", "aiff", 16),
    ],
)
def test_lossless_files_of_another_writer(
    name, codec, sample_format, container, bits, sound, tmp_path
):
    measured = measure(encode(tmp_path / name, sound, codec, sample_format=sample_format))

    assert (measured.container, measured.bit_depth) == (container, bits)
    assert measured.lossless
    assert measured.frames == FRAMES
    assert measured.integrated_lufs == pytest.approx(LOUDNESS, abs=0.02)


@pytest.mark.parametrize(
    ("name", "codec", "encoder", "container"),
    [
        ("cbr.mp3", "libmp3lame", {"bit_rate": 192_000}, "mp3"),
        ("vbr.mp3", "libmp3lame", {"options": {"compression_level": "2"}}, "mp3"),
        ("plain.mp3", "libmp3lame", {"options": {"write_xing": "0"}}, "mp3"),
        ("tagged.mp3", "libmp3lame", {"options": {"write_id3v1": "1"}}, "mp3"),
        ("a.ogg", "libopus", {"sample_format": "flt"}, "ogg"),
        ("a.m4a", "aac", {}, "mp4"),
    ],
)
def test_lossy_files_have_no_bit_depth(name, codec, encoder, container, sound, tmp_path):
    measured = measure(encode(tmp_path / name, sound, codec, **encoder))

    assert measured.container == container
    assert (measured.bit_depth, measured.lossless) == (None, False)
    assert FRAMES <= measured.frames <= FRAMES + 2 * 1152
    assert measured.integrated_lufs == pytest.approx(LOUDNESS, abs=1)


def test_mp3_with_tags_at_both_ends(sound, tmp_path):
    path = encode(tmp_path / "a.mp3", sound, "libmp3lame")
    plain = measure(path)
    path.write_bytes(path.read_bytes() + b"TAG" + b"Neap Tide".ljust(125, b"\0"))

    assert measure(path).frames == plain.frames


@pytest.mark.parametrize("frames", [1, 1001])
def test_wav_with_odd_chunks_all_around(frames, tmp_path):
    mono = tone(1, -20)[:frames, None]
    before = chunk(b"JUNK", b"x" * 27) + chunk(b"LIST", b"INFOIART\x03\0\0\0abc\0")
    after = chunk(b"LIST", b"INFOabc") + chunk(b"cue ", b"\0\0\0\0")

    measured = measure(write_wav(tmp_path / "a.wav", mono, before=before, after=after))

    assert measured.frames == frames


def test_wav_whose_writer_forgot_the_padding_byte(tmp_path):
    path = write_wav(tmp_path / "a.wav", tone(1, -20)[:1001, None])
    unpadded = path.read_bytes()[:-1] + chunk(b"LIST", b"INFO")
    path.write_bytes(unpadded[:4] + (len(unpadded) - 8).to_bytes(4, "little") + unpadded[8:])

    assert measure(path).frames == 1001


def test_wav_filled_up_with_zeros(sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound)
    path.write_bytes(path.read_bytes() + bytes(1000))

    assert measure(path).frames == FRAMES


def test_bext_facts(sound, tmp_path):
    # 10:00:00 at 96 kHz, counted from midnight as EBU Tech 3285 asks.
    note = bext("Neap Tide, Küste".encode(), b"Quay Steps", 3_456_000_000, b"A=PCM,F=48000\r\n")

    facts = measure(write_wav(tmp_path / "a.wav", sound, before=note)).bext

    assert facts["description"] == "Neap Tide, Küste"
    assert facts["originator"] == "Quay Steps"
    assert facts["time_reference"] == 3_456_000_000
    assert (facts["origination_date"], facts["origination_time"]) == ("2025-03-14", "10:00:00")
    assert facts["coding_history"] == "A=PCM,F=48000\r\n"


def test_bext_in_latin_1(sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound, before=bext("Küste".encode("latin-1")))

    assert measure(path).bext["description"] == "Küste"


IXML = (
    b"<BWFXML><PROJECT>Neap Tide</PROJECT><TAKE>7</TAKE><TRACK_LIST><TRACK_COUNT>2</TRACK_COUNT>"
    b"<TRACK><NAME>Fiddle</NAME></TRACK><TRACK><NAME>Concertina</NAME></TRACK>"
    b"</TRACK_LIST></BWFXML>"
)


def test_ixml_facts(sound, tmp_path):
    facts = measure(write_wav(tmp_path / "a.wav", sound, after=chunk(b"iXML", IXML))).ixml

    assert (facts["project"], facts["take"], facts["scene"]) == ("Neap Tide", "7", "")
    assert facts["track_names"] == ["Fiddle", "Concertina"]


def test_damaged_ixml_leaves_bext_alone(sound, tmp_path):
    before = bext(b"Neap Tide") + chunk(b"iXML", b"\0\xff<<")

    measured = measure(write_wav(tmp_path / "a.wav", sound, before=before))

    assert measured.bext["description"] == "Neap Tide"
    assert measured.ixml is None
    assert "The iXML chunk is damaged and was left out." in measured.notes


def test_damaged_bext_leaves_ixml_alone(sound, tmp_path):
    before = chunk(b"bext", b"short") + chunk(b"iXML", IXML)

    measured = measure(write_wav(tmp_path / "a.wav", sound, before=before))

    assert measured.ixml["take"] == "7"
    assert measured.bext is None
    assert "The bext chunk is damaged and was left out." in measured.notes


@pytest.mark.parametrize("data_size", [0, 0xFFFFFFFF])
@pytest.mark.parametrize("outer_size", [0, 0xFFFFFFFF])
def test_length_left_open_is_measured_to_the_end(data_size, outer_size, sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound, data_size=data_size, outer_size=outer_size)

    measured = measure(path)

    assert measured.frames == FRAMES
    assert any("leaves the length open" in note for note in measured.notes)


def test_digital_silence_has_no_levels(tmp_path):
    measured = measure(write_wav(tmp_path / "a.wav", stereo(silence(2))))

    assert measured.sample_peak_dbfs is None
    assert measured.true_peak_dbtp is None
    assert measured.integrated_lufs is None
    assert set(map(tuple, measured.waveform)) == {(0, 0)}
    assert any("loud enough" in note for note in measured.notes)


@pytest.mark.parametrize(("frames", "measurable"), [(19_199, False), (19_200, True)])
def test_integrated_loudness_needs_one_block(frames, measurable, tmp_path):
    # ITU-R BS.1770: a gating block lasts 400 ms.
    measured = measure(write_wav(tmp_path / "a.wav", stereo(tone(1, -23)[:frames])))

    assert (measured.integrated_lufs is not None) == measurable
    assert any("0.4 seconds" in note for note in measured.notes) != measurable


@pytest.mark.parametrize(("seconds", "measurable"), [(59, False), (60, True)])
def test_loudness_range_needs_a_minute(seconds, measurable, tmp_path):
    # EBU R 128: not recommended for programmes of less than a minute.
    rate = 8000
    path = write_wav(tmp_path / "a.wav", stereo(tone(seconds, -23, rate=rate)), rate=rate, bits=16)

    measured = measure(path)

    assert (measured.loudness_range_lu is not None) == measurable
    assert any("at least a minute" in note for note in measured.notes) != measurable


@pytest.mark.parametrize(
    ("count", "layout", "note"),
    [
        (1, "mono", None),
        (2, "stereo", None),
        (5, "5.0(side)", "5.0(side) was assumed"),
        (6, "5.1(side)", "5.1(side) was assumed"),
        (24, "24 channels", "its loudness was not measured"),
    ],
)
def test_channels_without_loudspeakers(count, layout, note, tmp_path):
    measured = measure(write_wav(tmp_path / "a.wav", channels(*[tone(0.5, -20)] * count)))

    assert (measured.channels, measured.channel_layout) == (count, layout)
    assert any("loudspeaker" in each for each in measured.notes) == (note is not None)
    assert note is None or any(note in each for each in measured.notes)


def test_the_low_frequency_channel_does_not_count(tmp_path):
    # ITU-R BS.1770-4, Annex 1, Table 3: the LFE channel is left out.
    front, low = tone(2, -23), tone(2, 0, hz=60)
    quiet = silence(2)

    measured = measure(
        write_wav(tmp_path / "a.wav", channels(front, front, quiet, low, quiet, quiet))
    )

    assert measured.integrated_lufs == pytest.approx(-23, abs=0.1)
    assert measured.sample_peak_dbfs == pytest.approx(0, abs=0.01)


def test_duration_is_exact(tmp_path):
    path = write_wav(tmp_path / "a.wav", stereo(tone(1, -20, rate=44_100)[:1000]), rate=44_100)

    assert measure(path).duration_seconds == Fraction(1000, 44_100)


@pytest.mark.parametrize("frames", [1, 999, 1000, 7999, 8000, 8001, 123_457])
def test_waveform_has_the_same_columns_at_any_length(frames, tmp_path):
    ramp = np.linspace(-0.5, 0.5, frames)

    waveform = measure(write_wav(tmp_path / "a.wav", ramp[:, None])).waveform

    lows, highs = zip(*waveform, strict=True)
    assert len(waveform) == WAVEFORM_COLUMNS
    assert list(lows) == sorted(lows)
    assert (min(lows), max(highs)) == (-500, -500 if frames == 1 else 500)


def test_waveform_shows_the_loudest_channel_where_it_is(tmp_path):
    quiet, burst = silence(10), silence(10)
    burst[5 * RATE : 6 * RATE] = tone(1, -6)

    waveform = measure(write_wav(tmp_path / "a.wav", channels(quiet, burst))).waveform

    peak = round(10 ** (-6 / 20) * WAVEFORM_FULL_SCALE)
    assert waveform[:498] == [[0, 0]] * 498
    assert waveform[550] == [-peak, peak]
    assert waveform[602:] == [[0, 0]] * len(waveform[602:])


def test_samples_above_full_scale_are_measured_and_drawn_at_the_edge(tmp_path):
    path = write_wav(tmp_path / "a.wav", stereo(tone(1, 6)), bits=32, floating=True)

    measured = measure(path)

    assert measured.sample_peak_dbfs == pytest.approx(6, abs=0.01)
    assert measured.waveform[500] == [-WAVEFORM_FULL_SCALE, WAVEFORM_FULL_SCALE]


def test_child_brings_back_the_same_measurement(tmp_path):
    before = bext(b"Neap Tide", b"Quay Steps", 5) + chunk(b"iXML", IXML)
    path = write_wav(tmp_path / "a name – with spaces.wav", stereo(tone(1, -20)), before=before)

    told = []
    measured = measure_in_child(path, progress=told.append)

    assert isinstance(measured, Measurement)
    assert measured == measure(path)
    assert told == [100]


def test_what_listens_to_the_progress_can_stop_the_child(tmp_path):
    def stop(percent):
        raise InterruptedError

    with pytest.raises(InterruptedError):
        measure_in_child(write_wav(tmp_path / "a.wav", stereo(tone(1, -20))), progress=stop)
