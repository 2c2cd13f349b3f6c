"""The recording of a return as samples of one channel. No Django: it is read in a child."""

import av
import numpy as np

from gear.audio.proving.marks import find_marks
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import NotMeasured
from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.locating import Located
from sessions.deliverables.measuring.samples import Samples

#: What loses nothing. A playlist that calls itself sound could name other files.
OPENING = {"format_whitelist": "wav,w64,aiff,caf,flac", "protocol_whitelist": "file"}
#: What is recorded before and after the file, at most.
LONGEST_AROUND_S = 120
MOST_CHANNELS = 8
_AT_ONCE = 1 << 16


def read_recording(path: str, plan: Plan | ThreeTones) -> tuple[np.ndarray, int]:
    """Single precision, full scale 1, and the rate that the file states. Of several channels the one in
    which the test file is heard best. Raises NotMeasured."""
    try:
        with av.open(path, metadata_errors="replace", options=OPENING) as container:
            channels, rate = _decoded(container, longest_s=plan.length_s + LONGEST_AROUND_S)
    except (av.FFmpegError, UnicodeError, OverflowError):
        raise _no_sound() from None
    is_refused = isinstance(plan, Plan) and rate != plan.rate_hz
    if len(channels) == 1 or is_refused:
        return channels[0], rate
    return max(channels, key=lambda each: _likeness(each, rate, plan)), rate


def _decoded(container, *, longest_s: float) -> tuple[np.ndarray, int]:
    if not container.streams.audio:
        raise _no_sound()
    stream = container.streams.audio[0]
    context = stream.codec_context
    if context is None or not context.sample_rate or not 1 <= context.channels <= MOST_CHANNELS:
        raise NotMeasured(
            "not sound",
            f"Export the return as WAV of one channel; up to {MOST_CHANNELS} channels can be read.",
        )
    rate, count, parts = context.sample_rate, 0, []
    gathered = Samples(context.channels, _AT_ONCE)
    for frame in container.decode(stream):
        parts += [part.copy() for part in gathered.add(frame)]
        count += frame.samples
        if count > longest_s * rate:
            raise NotMeasured(
                "too long",
                f"The recording lasts longer than {longest_s:.0f} s: trim it to the return of the test "
                "file.",
            )
    if not count:
        raise _no_sound()
    return np.concatenate([*parts, gathered.rest()], axis=1), rate


def _likeness(samples: np.ndarray, rate: int, plan: Plan | ThreeTones) -> float:
    """How surely the test file is in it, then how loud it is."""
    loud = float(np.abs(samples).max(initial=0.0))
    if not np.isfinite(loud) or not loud:
        return 0.0
    if isinstance(plan, ThreeTones):
        return Located(plan, samples, rate).is_it + loud / 1000
    marks = find_marks(plan, samples, rate)
    return sum(max((mark.likeness for mark in found), default=0.0) for found in marks) + loud / 1000


def _no_sound() -> NotMeasured:
    return NotMeasured(
        "not sound", "No sound can be read in this file: export the return as WAV, AIFF or FLAC."
    )
