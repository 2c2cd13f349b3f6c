"""Files that can't be measured, each with the reason and a sentence for the user."""

import os
import struct
import zlib

import av
import numpy as np
import pytest

from sessions.deliverables.measuring import Reason, UnmeasurableFile, measure, measure_in_child
from tests.signals import RATE, channels, chunk, encode, noise, stereo, tone, write_aiff, write_wav


@pytest.fixture(scope="module")
def sound():
    return channels(tone(1, -20), noise(1, -30))


def refusal(path) -> tuple[Reason, str]:
    with pytest.raises(UnmeasurableFile) as caught:
        measure(path)
    return caught.value.reason, str(caught.value)


def png() -> bytes:
    def part(name, content):
        checksum = zlib.crc32(name + content)
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", checksum)

    head = struct.pack(">IIBBBBB", 8, 8, 8, 0, 0, 0, 0)
    pixels = part(b"IDAT", zlib.compress(bytes(8 * 9)))
    return b"\x89PNG\r\n\x1a\n" + part(b"IHDR", head) + pixels + part(b"IEND", b"")


@pytest.mark.parametrize("ending", ["wav", "mp3", "flac", "aiff"])
@pytest.mark.parametrize(
    "content",
    [
        b"Take 7 was the one.\n" * 200,
        b"%PDF-1.7\n1 0 obj\n<< >>\nendobj\n" * 50,
        png(),
        bytes(5000),
        b"x",
    ],
    ids=["text", "pdf", "image", "zeros", "one byte"],
)
def test_what_is_no_sound(content, ending, tmp_path):
    path = tmp_path / f"a.{ending}"
    path.write_bytes(content)

    reason, message = refusal(path)

    assert reason == Reason.NOT_AUDIO
    assert "whatever its name says" in message


@pytest.mark.parametrize(
    "playlist", ["#EXTM3U\n#EXTINF:1,\n{}\n", "ffconcat version 1.0\nfile '{}'\n"]
)
def test_playlist_opens_nothing_else(playlist, sound, tmp_path):
    other = write_wav(tmp_path / "other.wav", sound)
    path = tmp_path / "a.wav"
    path.write_text(playlist.format(other))

    assert refusal(path)[0] == Reason.NOT_AUDIO


def test_empty_file(tmp_path):
    path = tmp_path / "a.wav"
    path.touch()

    assert refusal(path) == (Reason.EMPTY, "The file is empty: export or copy it again.")


def test_header_without_sound(sound, tmp_path):
    assert refusal(write_wav(tmp_path / "a.wav", sound[:0]))[0] == Reason.EMPTY


def video(path, *, audio_streams: int):
    """A few black pictures, with streams of silence."""
    with av.open(str(path), "w") as container:
        pictures = container.add_stream("mpeg4", rate=25)
        pictures.width, pictures.height, pictures.pix_fmt = 32, 32, "yuv420p"
        tracks = [
            container.add_stream("pcm_s16le", rate=RATE, layout="mono")
            for _ in range(audio_streams)
        ]
        for _ in range(5):
            picture = av.VideoFrame.from_ndarray(np.zeros((32, 32, 3), np.uint8), format="rgb24")
            container.mux(pictures.encode(picture))
        container.mux(pictures.encode(None))
        for track in tracks:
            sound = np.zeros((1, RATE), np.int16)
            frame = av.AudioFrame.from_ndarray(sound, format="s16", layout="mono")
            frame.sample_rate = RATE
            container.mux(track.encode(frame))
            container.mux(track.encode(None))
    return path


def test_video_without_sound(tmp_path):
    reason, message = refusal(video(tmp_path / "a.mkv", audio_streams=0))

    assert reason == Reason.NO_AUDIO_STREAM
    assert "no sound" in message


def test_first_audio_stream_of_a_video_is_measured(tmp_path):
    measured = measure(video(tmp_path / "a.mkv", audio_streams=2))

    assert (measured.container, measured.codec) == ("matroska", "pcm_s16le")
    assert measured.frames == RATE
    assert "The file has 2 audio streams; the first was measured." in measured.notes


WRITERS = {
    "wav": lambda path, sound: write_wav(path, sound),
    "rf64.wav": lambda path, sound: write_wav(path, sound, kind=b"RF64"),
    "aiff": lambda path, sound: write_aiff(path, sound),
    "sowt.aifc": lambda path, sound: write_aiff(path, sound, compression=b"sowt", bits=16),
    "flac": lambda path, sound: encode(path, sound, "flac", sample_format="s16"),
    "mp3": lambda path, sound: encode(path, sound, "libmp3lame"),
    "ogg": lambda path, sound: encode(path, sound, "libopus", sample_format="flt"),
    "m4a": lambda path, sound: encode(path, sound, "aac"),
    "caf": lambda path, sound: encode(path, sound, "pcm_s16be", sample_format="s16"),
    "mka": lambda path, sound: encode(path, sound, "flac", sample_format="s16"),
}


@pytest.mark.parametrize("share", [0.5, 0.8])
@pytest.mark.parametrize("kind", WRITERS)
def test_file_cut_short(kind, share, sound, tmp_path):
    path = WRITERS[kind](tmp_path / f"a.{kind}", sound)
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])

    assert refusal(path)[0] == Reason.CUT_SHORT


@pytest.mark.parametrize("kind", ["wav", "rf64.wav", "aiff", "flac", "ogg", "m4a", "caf"])
def test_file_that_lacks_its_last_bytes(kind, sound, tmp_path):
    path = WRITERS[kind](tmp_path / f"a.{kind}", sound)
    path.write_bytes(path.read_bytes()[:-4])

    assert refusal(path)[0] == Reason.CUT_SHORT


def test_cut_wav_says_how_much_is_there(sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound)
    path.write_bytes(path.read_bytes()[: 44 + 1000])

    assert "Only 1000 of the 288000 bytes of sound are there" in refusal(path)[1]


def test_wav_that_lost_what_follows_the_sound(sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound, after=chunk(b"LIST", b"INFO" + bytes(100)))
    path.write_bytes(path.read_bytes()[:-112])

    assert refusal(path)[0] == Reason.CUT_SHORT


@pytest.mark.parametrize("data_size", [144_000, 287_000, 288_006, 1_000_000])
def test_wav_whose_sound_is_not_as_long_as_stated(data_size, sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound, data_size=data_size)

    assert refusal(path)[0] == Reason.WRONG_LENGTH


@pytest.mark.parametrize(
    ("outer_size", "reason"),
    [
        (4, Reason.WRONG_LENGTH),
        (100_000, Reason.WRONG_LENGTH),
        (288_030, Reason.WRONG_LENGTH),
        (1_000_000, Reason.CUT_SHORT),
    ],
)
def test_wav_whose_outer_length_is_wrong(outer_size, reason, sound, tmp_path):
    assert refusal(write_wav(tmp_path / "a.wav", sound, outer_size=outer_size))[0] == reason


@pytest.mark.parametrize("frames", [RATE - 1, RATE + 1, 10 * RATE])
def test_aiff_whose_header_counts_otherwise(frames, sound, tmp_path):
    path = write_aiff(tmp_path / "a.aiff", sound, frames=frames)

    assert refusal(path)[0] == Reason.WRONG_LENGTH


@pytest.mark.parametrize(
    ("change", "reason"), [(-100, Reason.WRONG_LENGTH), (100, Reason.CUT_SHORT)]
)
def test_flac_whose_header_counts_otherwise(change, reason, sound, tmp_path):
    path = encode(tmp_path / "a.flac", sound, "flac", sample_format="s16")
    content = bytearray(path.read_bytes())
    content[22:26] = (RATE + change).to_bytes(4, "big")  # low half of total samples, RFC 9639, 8.2
    path.write_bytes(content)

    assert refusal(path)[0] == reason


def test_flac_that_states_no_length_is_measured(sound, tmp_path):
    path = encode(tmp_path / "a.flac", sound, "flac", sample_format="s16")
    content = bytearray(path.read_bytes())
    content[22:26] = bytes(4)
    path.write_bytes(content)

    assert measure(path).frames == RATE


def test_flac_with_a_damaged_frame(sound, tmp_path):
    path = encode(tmp_path / "a.flac", sound, "flac", sample_format="s16")
    content = bytearray(path.read_bytes())
    content[-20_000] ^= 0xFF
    path.write_bytes(content)

    assert refusal(path)[0] in (Reason.DAMAGED, Reason.CUT_SHORT)


@pytest.mark.parametrize("change", [-10, 10])
def test_mp3_whose_header_counts_otherwise(change, sound, tmp_path):
    path = encode(tmp_path / "a.mp3", sound, "libmp3lame")
    content = bytearray(path.read_bytes())
    start = max(content.find(b"Xing"), content.find(b"Info")) + 8
    stated = int.from_bytes(content[start : start + 4], "big")
    content[start : start + 4] = (stated + change).to_bytes(4, "big")
    path.write_bytes(content)

    assert refusal(path)[0] == (Reason.CUT_SHORT if change > 0 else Reason.WRONG_LENGTH)


def test_mp3_without_a_count_can_not_tell(sound, tmp_path):
    path = encode(tmp_path / "a.mp3", sound, "libmp3lame", options={"write_xing": "0"})
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])

    assert measure(path).frames < RATE


@pytest.mark.parametrize(
    ("offset", "value", "says"),
    [(22, b"\0\0", "no channels"), (24, bytes(4), "sample rate of zero")],
)
def test_wav_header_that_states_nothing(offset, value, says, sound, tmp_path):
    path = write_wav(tmp_path / "a.wav", sound)
    content = bytearray(path.read_bytes())
    content[offset : offset + len(value)] = value
    path.write_bytes(content)

    reason, message = refusal(path)

    assert reason == Reason.IMPOSSIBLE_FORMAT
    assert says in message


@pytest.mark.parametrize("rate", [1, 3999, 800_000])
def test_sample_rate_that_nobody_uses(rate, sound, tmp_path):
    reason, message = refusal(write_wav(tmp_path / "a.wav", sound, rate=rate))

    assert reason == Reason.IMPOSSIBLE_FORMAT
    assert f"{rate} Hz" in message


def test_more_channels_than_can_be_measured(tmp_path):
    path = write_wav(tmp_path / "a.wav", np.zeros((1000, 65)), bits=16)

    assert refusal(path)[0] == Reason.IMPOSSIBLE_FORMAT


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_samples_that_are_not_numbers(value, tmp_path):
    samples = stereo(tone(1, -20))
    samples[1000] = value

    path = write_wav(tmp_path / "a.wav", samples, bits=32, floating=True)

    assert refusal(path)[0] == Reason.DAMAGED


def test_missing_file_is_not_the_files_fault(tmp_path):
    with pytest.raises(FileNotFoundError):
        measure(tmp_path / "none.wav")
    with pytest.raises(FileNotFoundError):
        measure_in_child(tmp_path / "none.wav")


def test_child_refuses_as_measure_does(tmp_path):
    path = tmp_path / "a.wav"
    path.write_bytes(b"Take 7 was the one.\n" * 200)

    with pytest.raises(UnmeasurableFile) as caught:
        measure_in_child(path)

    assert (caught.value.reason, str(caught.value)) == refusal(path)


def long_silence(path):
    """Ten minutes of twelve channels, as a file of which only the header takes space."""
    size = 600 * RATE * 12 * 2
    write_wav(path, np.zeros((1, 12)), bits=16, data_size=size, outer_size=36 + size)
    os.truncate(path, 44 + size)
    return path


@pytest.mark.parametrize(
    ("limits", "reason"),
    [
        ({"largest_bytes": 100_000}, Reason.TOO_LARGE),
        ({"wall_seconds": 0.01}, Reason.TOO_SLOW),
        ({"cpu_seconds": 1}, Reason.TOO_SLOW),
        ({"memory_bytes": 1 << 20}, Reason.OUT_OF_MEMORY),
    ],
)
def test_child_stops_at_its_limits(limits, reason, tmp_path):
    path = long_silence(tmp_path / "a.wav")

    with pytest.raises(UnmeasurableFile) as caught:
        measure_in_child(path, **limits)

    assert caught.value.reason == reason


def unstated_flac(path, sound):
    """Silence packs into next to nothing, and STREAMINFO need not say how much there is."""
    encode(path, sound, "flac", sample_format="s16")
    content = bytearray(path.read_bytes())
    content[21:26] = bytes([content[21] & 0xF0, 0, 0, 0, 0])
    path.write_bytes(content)
    return path


@pytest.mark.parametrize(
    "make",
    [
        lambda folder: long_silence(folder / "a.wav"),
        lambda folder: unstated_flac(folder / "a.flac", np.zeros((61 * RATE, 2))),
    ],
    ids=["by its header", "once decoded"],
)
@pytest.mark.parametrize("measuring", [measure, measure_in_child])
def test_sound_longer_than_the_house_measures(make, measuring, tmp_path):
    with pytest.raises(UnmeasurableFile, match="longer than the 1 minutes") as caught:
        measuring(make(tmp_path), longest_seconds=60)

    assert caught.value.reason == Reason.TOO_LONG
