"""Decoded frames as NumPy arrays."""

import av
import numpy as np

BITS_OF_UNSIGNED = 8


class Samples:
    """Gathers frames into arrays shaped (channels, frames), in single precision, in which 1.0 is
    full scale: 24 bits fit exactly.

    `bits_in_use` is how many bits the widest sample has above its trailing zeros: 16 where a file
    of 24 bits was filled up with zeros. It is None for floating point and for silence. Headers may
    state their "valid bits", but writers don't agree on them, so they are not asked.
    """

    def __init__(self, channels: int, at_once: int):
        self._gathered = np.empty((channels, at_once), np.float32)
        self._count = 0
        self._bits = 0
        self._container_bits = 0

    def add(self, frame: av.AudioFrame):
        """Yields each array once it is full; it is overwritten afterwards."""
        samples = self._levels(frame)
        while samples.shape[1]:
            free = self._gathered.shape[1] - self._count
            part, samples = samples[:, :free], samples[:, free:]
            end = self._count + part.shape[1]
            self._gathered[:, self._count : end] = part
            self._count = end
            if end == self._gathered.shape[1]:
                self._count = 0
                yield self._gathered

    def rest(self) -> np.ndarray:
        return self._gathered[:, : self._count]

    @property
    def bits_in_use(self) -> int | None:
        lowest = self._bits & -self._bits
        return self._container_bits - lowest.bit_length() + 1 if lowest else None

    def _levels(self, frame: av.AudioFrame) -> np.ndarray:
        raw = frame.to_ndarray()
        if not frame.format.is_planar:
            raw = raw.reshape(frame.samples, -1).T
        if raw.dtype.kind == "f":
            with np.errstate(over="ignore"):
                return raw.astype(np.float32, copy=False)
        if raw.dtype.kind == "u":
            raw = (raw ^ 0x80).view(np.int8)
        bits = 8 * raw.itemsize
        if not self._bits & 1:
            self._container_bits = bits
            self._bits |= int(np.bitwise_or.reduce(raw, axis=None)) & (2**bits - 1)
        return raw * np.float32(2.0 ** (1 - bits))
