"""Measures one file in this process."""

import math
from collections.abc import Callable, Iterator
from pathlib import Path

from sessions.takes.files.notes import broadcast_facts, recorder_facts

from .chunked import Header
from .decoding import Sound, decode
from .header import cut_short, read_header
from .measurement import WAVEFORM_FULL_SCALE, Measurement, Reason, UnmeasurableFile
from .meter import Meter
from .reading import Reading

# ITU-R BS.1770: one gating block.
SHORTEST_FOR_LOUDNESS_SECONDS = 0.4

# EBU R 128: loudness range is not meant for programmes of less than a minute.
SHORTEST_FOR_RANGE_SECONDS = 60

# Encoders differ in whether they count the header frame, and some in a frame at the end.
MPEG_FRAME_SLACK = 2


def measure(
    path: str | Path,
    *,
    progress: Callable[[int], None] = lambda percent: None,
    longest_seconds: float = math.inf,
) -> Measurement:
    """Measures the first audio stream of the file at `path`.

    Raises UnmeasurableFile when there is no sound to measure, when the file is damaged, and when
    it is shorter or longer than its own header says or lasts longer than `longest_seconds`, which
    is found by the header where that states it. `progress` gets the percentage that is done, at
    most once a second, and 100 at the end. A WAV or AIFF header that states a length of
    0 or 0xFFFFFFFF was written by a recorder that could not go back: its sound is measured to the
    end of the file, and a note says so. Raises OSError when the file can't be opened.
    """
    path = Path(path).resolve()
    header = read_header(path)
    with Reading(path, progress) as reading:
        sound = decode(path, header, reading, longest_seconds)
        sha256 = reading.sha256()
    _check_length(header, sound)
    meter = sound.meter
    loudness = meter.loudness
    short = meter.frames < SHORTEST_FOR_RANGE_SECONDS * meter.sample_rate
    bext = broadcast_facts(header.bext) if header.bext else None
    ixml = recorder_facts(header.ixml) if header.ixml else None
    progress(100)
    return Measurement(
        container=header.kind or sound.container,
        codec=sound.codec.name,
        lossless=sound.codec.lossless,
        sample_rate=meter.sample_rate,
        bit_depth=sound.bit_depth,
        channels=meter.channels,
        channel_layout=meter.layout,
        frames=meter.frames,
        sample_peak_dbfs=meter.sample_peak_dbfs,
        true_peak_dbtp=meter.true_peak_dbtp,
        integrated_lufs=loudness and loudness.integrated_lufs,
        loudness_range_lu=loudness.range_lu if loudness and not short else None,
        waveform=[_scaled(pair) for pair in meter.waveform.columns()],
        sha256=sha256,
        size_bytes=path.stat().st_size,
        bext=bext,
        ixml=ixml,
        notes=list(_notes(header, sound, bext, ixml, short)),
        valid_bits=_valid_bits(sound),
        max_momentary_lufs=loudness and loudness.max_momentary_lufs,
        max_short_term_lufs=loudness and loudness.max_short_term_lufs,
        dc_offsets=meter.dc_offsets,
        clipped_runs=meter.clipped.first,
        clipped_run_count=meter.clipped.count,
        silent_frames_at_start=meter.silence.at_start,
        silent_frames_at_end=meter.silence.at_end,
        dead_channels=meter.idle.dead,
        identical_channels=meter.idle.identical,
        antiphase_channels=meter.idle.antiphase,
    )


def _check_length(header: Header, sound: Sound) -> None:
    frames = sound.meter.frames
    stated = header.frames if header.frames is not None else sound.flac_frames
    if stated is not None and stated != frames:
        if frames < stated:
            raise cut_short()
        raise _longer_than_stated()
    if header.mpeg_frames and sound.container == "mp3":
        missing = header.mpeg_frames - sound.packets
        if missing > MPEG_FRAME_SLACK:
            raise cut_short()
        if missing < -MPEG_FRAME_SLACK:
            raise _longer_than_stated()
    # A music tag after raw MPEG frames looks like a broken frame.
    if sound.broken_tail and sound.container not in ("mp3", "aac"):
        raise cut_short()


def _longer_than_stated() -> UnmeasurableFile:
    return UnmeasurableFile(
        Reason.WRONG_LENGTH,
        "There is more sound in the file than its header says: export it again.",
    )


def _valid_bits(sound: Sound) -> int | None:
    """Decoders give samples of 16 or 32 bits, in which the bits of the file are the upper ones."""
    in_use = sound.meter.samples.bits_in_use
    return in_use and sound.bit_depth and min(in_use, sound.bit_depth)


def _scaled(pair: tuple[float, float]) -> list[int]:
    return [round(max(-1.0, min(1.0, value)) * WAVEFORM_FULL_SCALE) for value in pair]


def _notes(header, sound, bext, ixml, short) -> Iterator[str]:
    meter = sound.meter
    if header.length_unstated:
        yield "The header leaves the length open, so the sound was measured to the end of the file."
    if sound.audio_streams > 1:
        yield f"The file has {sound.audio_streams} audio streams; the first was measured."
    yield from _layout_notes(meter)
    if meter.frames < SHORTEST_FOR_LOUDNESS_SECONDS * meter.sample_rate:
        yield "Integrated loudness needs at least 0.4 seconds of sound."
    elif meter.loudness and meter.loudness.integrated_lufs is None:
        yield "Nothing in the file is loud enough to have an integrated loudness."
    if short:
        yield "Loudness range needs at least a minute of sound."
    if header.bext and bext is None:
        yield "The bext chunk is damaged and was left out."
    if header.ixml and ixml is None:
        yield "The iXML chunk is damaged and was left out."
    if ixml and not ixml["is_whole"]:
        yield "The iXML chunk is damaged: only part of it was read."


def _layout_notes(meter: Meter) -> Iterator[str]:
    unsaid = "The file does not say which loudspeaker each channel is for"
    if meter.channels > 2 and meter.layout_is_assumed:
        yield f"{unsaid}; {meter.layout} was assumed for the loudness."
    elif meter.layout.endswith(" channels"):
        yield f"{unsaid}, so its loudness was not measured."
    elif meter.loudness is None:
        yield f"Loudness is not measured for the layout {meter.layout}."
