"""Sound files as streams of samples on one line of time, decoded as they are asked for."""

from collections.abc import Iterator
from contextlib import contextmanager

import av
import numpy as np

CONTAINERS = "wav,aiff,caf,flac,mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,ogg"


class Stream:
    """One file. Before its start and after its end there is silence."""

    def __init__(self, container, *, lead: int = 0):
        """`lead`: frames of silence before it; below nought as many of its own are left out."""
        self._stream = container.streams.audio[0]
        self.channels = self._stream.codec_context.channels
        self._frames = self._decoded(container)
        self._kept = np.zeros((self.channels, max(lead, 0)))
        self._ended = False
        if lead < 0:
            self.read(-lead)

    def read(self, count: int) -> np.ndarray:
        """The next frames, channels by `count`; full scale is 1."""
        parts, there = [self._kept], self._kept.shape[1]
        while there < count and not self._ended:
            part = next(self._frames, None)
            if part is None:
                self._ended = True
            else:
                parts.append(part)
                there += part.shape[1]
        joined = np.concatenate(parts, axis=1) if len(parts) > 1 else parts[0]
        taken, self._kept = joined[:, :count], joined[:, count:]
        short = count - taken.shape[1]
        return np.pad(taken, ((0, 0), (0, short))) if short else taken

    @property
    def has_ended(self) -> bool:
        return self._ended and not self._kept.size

    def _decoded(self, container) -> Iterator[np.ndarray]:
        """Whole numbers become floating point exactly: 53 bits hold 32."""
        context = self._stream.codec_context
        exact = av.AudioResampler(format="dblp", layout=context.layout, rate=context.sample_rate)
        for frame in container.decode(self._stream):
            for part in exact.resample(frame):
                yield part.to_ndarray()


@contextmanager
def opened(path: str) -> Iterator[av.container.InputContainer]:
    options = {"format_whitelist": CONTAINERS, "protocol_whitelist": "file"}
    with av.open(path, metadata_errors="replace", options=options) as container:
        yield container
