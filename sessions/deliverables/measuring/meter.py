"""All that is measured of a stream of decoded frames, in one pass."""

import math

import av
import numpy as np

from .faults import ClippedRuns, IdleChannels, Silence
from .layouts import layout_of, weights_of
from .loudness import Loudness
from .measurement import WAVEFORM_COLUMNS, Reason, UnmeasurableFile
from .samples import Samples
from .true_peak import TruePeak
from .waveform import Waveform

MAX_CHANNELS = 64

# Few enough to stay in the processor's cache, enough to make up for what a call costs.
SAMPLES_AT_ONCE = 1 << 17


class Meter:
    """Measures the frames that are pushed into it, in memory that hardly grows with them.

    `loudness` is None where the loudspeakers of the layout aren't known.
    """

    def __init__(self, frame: av.AudioFrame):
        self._format = _format_of(frame)
        self.sample_rate = frame.sample_rate
        self.channels = frame.layout.nb_channels
        self.layout = layout_of(frame)
        self.layout_is_assumed = self.layout != frame.layout.name
        self.frames = self._taken = 0
        least = Loudness.frames_at_once(self.sample_rate)
        at_once = least * max(1, SAMPLES_AT_ONCE // (least * self.channels))
        self.samples = Samples(self.channels, at_once)
        weights = weights_of(self.layout)
        self.loudness = None if weights is None else Loudness(self.sample_rate, weights)
        self.waveform = Waveform(WAVEFORM_COLUMNS)
        self.clipped = ClippedRuns(self.channels)
        self.silence = Silence()
        self.idle = IdleChannels(self.channels)
        self._true_peak = TruePeak(self.channels)
        self._sample_peak = 0.0
        self._sums = np.zeros(self.channels)
        self._at_once = at_once

    def push(self, frame: av.AudioFrame) -> None:
        if _format_of(frame) != self._format:
            raise UnmeasurableFile(
                Reason.DAMAGED,
                "The file changes its sample rate or its channels part-way: "
                "deliver it as one continuous sound.",
            )
        self.frames += frame.samples
        for samples in self.samples.add(frame):
            self._take(samples, samples.shape[1])

    def finish(self) -> None:
        rest = self.samples.rest()
        if frames := rest.shape[1]:
            self._take(np.pad(rest, ((0, 0), (0, self._at_once - frames))), frames)
        self._true_peak.finish()
        self.clipped.finish(self.frames)

    @property
    def sample_peak_dbfs(self) -> float | None:
        return _decibels(self._sample_peak)

    @property
    def true_peak_dbtp(self) -> float | None:
        return _decibels(self._true_peak.peak)

    @property
    def dc_offsets(self) -> list[float]:
        return (self._sums / self.frames).tolist()

    def _take(self, samples: np.ndarray, frames: int) -> None:
        """Silence may follow after the frames, so that steps and blocks are whole."""
        lowest, highest = samples.min(axis=0), samples.max(axis=0)
        loudest = np.maximum(highest, -lowest)
        peak = float(loudest.max())
        if not math.isfinite(peak):
            raise UnmeasurableFile(
                Reason.DAMAGED,
                "Some samples are not numbers: bounce the file again from the session.",
            )
        self._sample_peak = max(self._sample_peak, peak)
        self._true_peak.add(samples, loudest)
        if self.loudness:
            self.loudness.add(samples, frames)
        self._sums += samples.sum(axis=1)
        self.waveform.add(lowest[:frames], highest[:frames])
        self.silence.add(loudest[:frames])
        self.clipped.add(samples[:, :frames], peak, self._taken)
        self.idle.add(samples)
        self._taken += frames


def _format_of(frame: av.AudioFrame) -> tuple:
    return frame.sample_rate, frame.format.name, frame.layout.name


def _decibels(amplitude: float) -> float | None:
    return round(20 * math.log10(amplitude), 3) if amplitude > 0 else None
