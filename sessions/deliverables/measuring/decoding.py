"""Decodes the first audio stream of a file into a meter, trusting nothing."""

import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import av

from .chunked import Header
from .measurement import Reason, UnmeasurableFile
from .meter import MAX_CHANNELS, Meter
from .reading import Reading

# Only these are opened: a playlist that calls itself sound could name other files or addresses.
CONTAINERS = {
    "wav": "wav", "aiff": "aiff", "caf": "caf", "flac": "flac", "mp3": "mp3",
    "aac": "aac", "ogg": "ogg", "mov,mp4,m4a,3gp,3g2,mj2": "mp4", "matroska,webm": "matroska",
    "avi": "avi", "mpegts": "mpegts", "mxf": "mxf",
}  # fmt: skip
OPENING = {
    "format_whitelist": ",".join(CONTAINERS),
    "protocol_whitelist": "file",
    "err_detect": "crccheck",
}

# Filters of BS.1770 can't be made below the first; no converter runs above the second.
LOWEST_RATE, HIGHEST_RATE = 4_000, 768_000


@dataclass(frozen=True)
class Sound:
    """The audio stream once it has been decoded to the end."""

    container: str
    codec: av.codec.Codec
    bit_depth: int | None
    meter: Meter
    packets: int
    audio_streams: int
    flac_frames: int | None
    broken_tail: bool


def decode(path: Path, header: Header, reading: Reading, longest_seconds: float) -> Sound:
    with _opened(path, header) as container:
        streams = container.streams.audio
        if not streams:
            raise UnmeasurableFile(
                Reason.NO_AUDIO_STREAM, "The file has no sound in it, only other streams."
            )
        stream = streams[0]
        _refuse_impossible(stream, header)
        _refuse_longer(longest_seconds, _stated_seconds(container, stream, header))
        stream.codec_context.options = {"err_detect": "crccheck+explode"}
        reader = _Reader(container, stream, reading)
        for frame in reader.frames():
            reader.meter = reader.meter or Meter(frame)
            reader.meter.push(frame)
            _refuse_longer(longest_seconds, reader.meter.frames / reader.meter.sample_rate)
        if reader.meter is None:
            raise UnmeasurableFile(Reason.DAMAGED, "No sound could be decoded: export it again.")
        reader.meter.finish()
        context = stream.codec_context
        return Sound(
            container=CONTAINERS.get(container.format.name, container.format.name),
            codec=context.codec,
            bit_depth=_bit_depth(context),
            meter=reader.meter,
            packets=reader.packets,
            audio_streams=len(streams),
            flac_frames=_flac_frames(context),
            broken_tail=reader.broken,
        )


class _Reader:
    """Decodes packet by packet and notices what can't be decoded."""

    def __init__(self, container, stream, reading: Reading):
        self._container, self._stream, self._reading = container, stream, reading
        self.meter: Meter | None = None
        self.packets = 0
        self.broken = False

    def frames(self) -> Iterator[av.AudioFrame]:
        for packet in self._container.demux(self._stream):
            try:
                decoded = packet.decode()
            except (av.InvalidDataError, av.EOFError):
                self.broken = True
                continue
            if packet.size:
                self._refuse_gap()
                self.packets += 1
                self._reading.follow(packet.pos)
            yield from (frame for frame in decoded if frame.samples)

    def _refuse_gap(self) -> None:
        if self.broken and self.packets:
            seconds = self.meter.frames // self.meter.sample_rate if self.meter else 0
            raise UnmeasurableFile(
                Reason.DAMAGED,
                f"The sound is damaged at about {seconds // 60}:{seconds % 60:02}: "
                "copy or export the file again.",
            )
        self.broken = False


@contextmanager
def _opened(path: Path, header: Header):
    recognised = bool(header.kind)
    try:
        with av.open(str(path), metadata_errors="replace", options=OPENING) as container:
            recognised = recognised or bool(container.streams.audio)
            yield container
    except (av.MemoryError, MemoryError):
        raise out_of_memory() from None
    except (av.FFmpegError, UnicodeError, OverflowError) as error:
        if not recognised:
            raise _not_audio() from error
        raise UnmeasurableFile(
            Reason.DAMAGED, "The file is damaged: copy or export it again."
        ) from error


def _refuse_impossible(stream, header: Header) -> None:
    context = stream.codec_context
    if context is None:
        raise UnmeasurableFile(
            Reason.UNKNOWN_CODEC,
            "The sound is coded in a way that can’t be read here: export it as WAV.",
        )
    if not header.kind and not (context.sample_rate and context.channels):
        # Taken for sound by the ending of its name alone.
        raise _not_audio()
    if not LOWEST_RATE <= context.sample_rate <= HIGHEST_RATE:
        raise UnmeasurableFile(
            Reason.IMPOSSIBLE_FORMAT,
            f"The header states a sample rate of {context.sample_rate} Hz: export the file again.",
        )
    if not 1 <= context.channels <= MAX_CHANNELS:
        raise UnmeasurableFile(
            Reason.IMPOSSIBLE_FORMAT,
            f"The header states {context.channels} channels; up to {MAX_CHANNELS} can be "
            "measured in one file.",
        )


def _stated_seconds(container, stream, header: Header) -> float:
    """0 where nothing states it: the length of bare MPEG frames is but guessed by their first."""
    if header.frames:
        return header.frames / stream.codec_context.sample_rate
    if container.format.name in ("mp3", "aac") and not header.mpeg_frames:
        return 0
    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return (container.duration or 0) / av.time_base


def _refuse_longer(longest_seconds: float, seconds: float) -> None:
    if seconds <= longest_seconds:
        return
    minutes = math.ceil(longest_seconds / 60)
    raise UnmeasurableFile(
        Reason.TOO_LONG,
        f"The sound lasts longer than the {minutes:,} minutes that may be measured here: "
        "deliver it in parts.",
    )


def _bit_depth(context) -> int | None:
    if pcm := re.fullmatch(r"pcm_[sfu](\d+)(le|be)?(_planar)?", context.name):
        return int(pcm[1])
    extra = context.extradata or b""
    if context.name == "flac" and len(extra) >= 18:
        return (int.from_bytes(extra[10:18], "big") >> 36 & 0x1F) + 1
    if context.name == "alac" and len(extra) >= 18:
        return extra[17]
    return None


def _flac_frames(context) -> int | None:
    """Total samples of STREAMINFO; 0 means that the encoder did not know (RFC 9639, 8.2)."""
    extra = context.extradata or b""
    if context.name != "flac" or len(extra) < 18:
        return None
    return (int.from_bytes(extra[10:18], "big") & (1 << 36) - 1) or None


def out_of_memory() -> UnmeasurableFile:
    return UnmeasurableFile(
        Reason.OUT_OF_MEMORY,
        "Measuring the file took more memory than is allowed: "
        "it may be damaged, or made of very many channels.",
    )


def _not_audio() -> UnmeasurableFile:
    return UnmeasurableFile(
        Reason.NOT_AUDIO,
        "This is not a sound file that can be read here, whatever its name says: "
        "deliver WAV, AIFF, FLAC, MP3, Ogg or M4A.",
    )
