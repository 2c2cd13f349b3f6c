"""Loudness, loudness range and peaks of a stream of decoded frames."""

import math

import av
import numpy as np
from av.filter import Graph

from .measurement import WAVEFORM_COLUMNS, Reason, UnmeasurableFile
from .waveform import Waveform

# ITU-R BS.1770: one gating block; a block that stays below the absolute gate doesn't count.
BLOCK_SECONDS = 0.4
ABSOLUTE_GATE_LUFS = -70.0

# Files often name no loudspeakers. The order of ITU-R BS.2051 is taken for these counts, because
# the surround channels weigh more and the low-frequency channel not at all.
ASSUMED_LAYOUTS = {1: "mono", 2: "stereo", 5: "5.0(side)", 6: "5.1(side)"}

MAX_CHANNELS = 64


class Meter:
    """Measures the frames that are pushed into it, in one pass and constant memory.

    Loudness comes from the `ebur128` filter. True peak has a branch of its own: the filter gives
    peaks with three decimals of full scale only, which is nothing for a quiet track. BS.1770
    Annex 2 asks for four times oversampling at 48 kHz and less at higher rates.
    """

    def __init__(self, frame: av.AudioFrame):
        self._format = _format_of(frame)
        self.sample_rate = frame.sample_rate
        self.channels = frame.layout.nb_channels
        self.layout = _layout(frame)
        self.layout_is_assumed = self.layout != frame.layout.name
        self.frames = 0
        self.waveform = Waveform(WAVEFORM_COLUMNS)
        self._sample_peak = self._true_peak = 0.0
        self._integrated = self._loudness_range = -math.inf
        self._build_graph(frame)

    def push(self, frame: av.AudioFrame) -> None:
        if _format_of(frame) != self._format:
            raise UnmeasurableFile(
                Reason.DAMAGED,
                "The file changes its sample rate or its channels part-way: "
                "deliver it as one continuous sound.",
            )
        frame.pts = None
        self._source.push(frame)
        self._drain()

    def finish(self) -> None:
        self._source.push(None)
        self._drain()

    @property
    def integrated_lufs(self) -> float | None:
        if self.frames < BLOCK_SECONDS * self.sample_rate:
            return None
        # The filter answers with the gate itself when no block passes it.
        return self._integrated if self._integrated > ABSOLUTE_GATE_LUFS else None

    @property
    def loudness_range_lu(self) -> float | None:
        return self._loudness_range if self.integrated_lufs is not None else None

    @property
    def sample_peak_dbfs(self) -> float | None:
        return _decibels(self._sample_peak)

    @property
    def true_peak_dbtp(self) -> float | None:
        # A sample is a point of the curve, so the curve peaks no lower.
        return _decibels(max(self._true_peak, self._sample_peak))

    def _build_graph(self, frame: av.AudioFrame) -> None:
        graph = self._graph = Graph()
        self._source = graph.add_abuffer(
            sample_rate=frame.sample_rate,
            format=frame.format.name,
            layout=frame.layout.name,
            time_base=frame.time_base,
        )
        self._loudness = graph.add("abuffersink")
        self._oversampled = graph.add("abuffersink")
        split = graph.add("asplit", "2")
        loudness = graph.add("ebur128", "metadata=1")
        oversampling = graph.add("aresample", str(_oversampled_rate(self.sample_rate)))
        flat = graph.add("aformat", "sample_fmts=flt")
        self._named_channels(graph).link_to(split)
        split.link_to(loudness, 0)
        loudness.link_to(self._loudness)
        split.link_to(oversampling, 1)
        oversampling.link_to(flat)
        flat.link_to(self._oversampled)
        graph.configure()

    def _named_channels(self, graph: Graph) -> av.filter.context.FilterContext:
        if not self.layout_is_assumed:
            return self._source
        order = "|".join(str(channel) for channel in range(self.channels))
        channelmap = graph.add("channelmap", f"map={order}:channel_layout={self.layout}")
        self._source.link_to(channelmap)
        return channelmap

    def _drain(self) -> None:
        for block in _pull(self._loudness):
            self._take(block)
        for block in _pull(self._oversampled):
            self._true_peak = max(self._true_peak, float(np.abs(block.to_ndarray()).max()))

    def _take(self, block: av.AudioFrame) -> None:
        samples = block.to_ndarray().reshape(-1, self.channels)
        peak = float(np.abs(samples).max())
        if not math.isfinite(peak):
            raise UnmeasurableFile(
                Reason.DAMAGED,
                "Some samples are not numbers: bounce the file again from the session.",
            )
        self._sample_peak = max(self._sample_peak, peak)
        self.frames += block.samples
        self.waveform.add(samples)
        figures = block.metadata
        if "lavfi.r128.I" in figures:
            self._integrated = float(figures["lavfi.r128.I"])
            self._loudness_range = float(figures["lavfi.r128.LRA"])


def _format_of(frame: av.AudioFrame) -> tuple:
    return frame.sample_rate, frame.format.name, frame.layout.name


def _layout(frame: av.AudioFrame) -> str:
    stated = frame.layout.name
    if not stated.endswith(" channels"):
        return stated
    return ASSUMED_LAYOUTS.get(frame.layout.nb_channels, stated)


def _oversampled_rate(sample_rate: int) -> int:
    if sample_rate < 88_200:
        return 4 * sample_rate
    return 2 * sample_rate if sample_rate < 176_400 else sample_rate


def _pull(sink: av.filter.context.FilterContext):
    while True:
        try:
            yield sink.pull()
        except (av.BlockingIOError, av.EOFError):
            return


def _decibels(amplitude: float) -> float | None:
    return 20 * math.log10(amplitude) if amplitude > 0 else None
