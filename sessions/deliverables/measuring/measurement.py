"""What measuring a file yields: the figures, or the reason why there are none."""

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

WAVEFORM_COLUMNS = 1000
WAVEFORM_FULL_SCALE = 1000


class Reason(StrEnum):
    """Why a file could not be measured."""

    EMPTY = "empty"
    NOT_AUDIO = "not audio"
    NO_AUDIO_STREAM = "no audio stream"
    UNKNOWN_CODEC = "unknown codec"
    IMPOSSIBLE_FORMAT = "impossible format"
    CUT_SHORT = "cut short"
    WRONG_LENGTH = "wrong length"
    DAMAGED = "damaged"
    TOO_LARGE = "too large"
    TOO_LONG = "too long"
    TOO_SLOW = "too slow"
    OUT_OF_MEMORY = "out of memory"


class UnmeasurableFile(ValueError):
    """The file can't be measured; the text is a sentence for the user."""

    def __init__(self, reason: Reason, message: str):
        super().__init__(message)
        self.reason = reason


@dataclass(frozen=True)
class Measurement:
    """The figures of one audio file, all taken from the decoded sound itself.

    `bit_depth` is None when the codec is lossy. A peak is None for digital silence;
    `integrated_lufs` (ITU-R BS.1770) when the file is shorter than one block of 0.4 s or nothing
    passes the absolute gate; `loudness_range_lu` (EBU Tech 3342) when it is shorter than a minute.
    `waveform` has WAVEFORM_COLUMNS pairs (lowest, highest sample of any channel), in which
    WAVEFORM_FULL_SCALE is digital full scale. `notes` are sentences for the user: what was
    assumed, and why a figure is missing; `bext` and `ixml` are as `takes.files.notes` has them.

    All loudness is None, too, where the loudspeakers of the layout aren't known. Levels are rounded
    to a thousandth.

    `valid_bits`: as many of `bit_depth` are in use, whatever the header says of them; None for lossy
    codecs, floating point and digital silence. `max_momentary_lufs` and `max_short_term_lufs`
    (windows of 0.4 s and 3 s, EBU Tech 3341) are None where a window is longer than the file, or
    nothing but silence passes through it. `dc_offsets`: the mean of each channel, of full scale.
    `clipped_runs`: [channel, first frame, frames] of the first hundred runs of three samples and
    more at full scale or over it, `clipped_run_count` of all. Silence at the ends stays below a
    step of 16 bits (-90 dBFS) in all channels; a silent file is silent at both ends. Channels count
    from 1; a channel is dead when all its samples are zero, and pairs are identical or antiphase
    sample by sample over the whole file. All of it but the class is JSON.
    """

    container: str
    codec: str
    lossless: bool
    sample_rate: int
    bit_depth: int | None
    channels: int
    channel_layout: str
    frames: int
    sample_peak_dbfs: float | None
    true_peak_dbtp: float | None
    integrated_lufs: float | None
    loudness_range_lu: float | None
    waveform: list[list[int]]
    sha256: str
    size_bytes: int
    bext: dict | None
    ixml: dict | None
    notes: list[str]
    valid_bits: int | None = None
    max_momentary_lufs: float | None = None
    max_short_term_lufs: float | None = None
    dc_offsets: list[float] = field(default_factory=list)
    clipped_runs: list[list[int]] = field(default_factory=list)
    clipped_run_count: int = 0
    silent_frames_at_start: int = 0
    silent_frames_at_end: int = 0
    dead_channels: list[int] = field(default_factory=list)
    identical_channels: list[list[int]] = field(default_factory=list)
    antiphase_channels: list[list[int]] = field(default_factory=list)

    @property
    def duration_seconds(self) -> Fraction:
        return Fraction(self.frames, self.sample_rate)
