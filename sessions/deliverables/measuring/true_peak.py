"""True peak (ITU-R BS.1770-5, Annex 2) at every sample rate: four times oversampled."""

import numpy as np

# Sinc under a Kaiser window: within 0.02 dB up to 0.4 of the rate, where the example of the
# Annex, which has half as many taps, is up to 0.3 dB low.
TAPS, KAISER_BETA = 24, 5.0
BLOCK = 32
AT_ONCE = 512


def _between_samples() -> np.ndarray:
    """Taps for a quarter, a half and three quarters of the way from the 12th sample to the 13th."""
    taps = np.arange(TAPS) - (TAPS // 2 - 1)
    distance = np.array([[0.25], [0.5], [0.75]]) - taps
    inside = np.sqrt(1 - (distance / (TAPS / 2)) ** 2)
    each = np.sinc(distance) * np.i0(KAISER_BETA * inside)
    return each / each.sum(axis=1, keepdims=True)


def _blockwise(taps: np.ndarray) -> np.ndarray:
    """A matrix that takes a block with its neighbours to all points between its samples."""
    matrix = np.zeros((BLOCK + TAPS - 1, BLOCK, len(taps)), np.float32)
    for sample in range(BLOCK):
        matrix[sample : sample + TAPS, sample] = taps.T
    return matrix.reshape(BLOCK + TAPS - 1, -1)


FILTER = _between_samples()
FILTER_BY_BLOCKS = _blockwise(FILTER)
# Between samples that stay below 1 no point is higher.
MOST_OVER = np.abs(FILTER).sum(axis=1).max()


class TruePeak:
    """Follows the highest point of a stream of channels, with silence before it and after it.

    A block is oversampled only if it could hold a higher point than the highest so far: most
    blocks of most sounds are too quiet for that.
    """

    def __init__(self, channels: int):
        self._before = np.zeros((channels, BLOCK), np.float32)
        self._loudest_before = 0.0
        self.peak = 0.0

    def add(self, samples: np.ndarray, loudest: np.ndarray) -> None:
        """Samples shaped (channels, frames), in whole blocks, and the highest of each frame."""
        peaks = loudest.reshape(-1, BLOCK).max(axis=1)
        self.peak = max(self.peak, float(peaks.max()))  # the samples are points of the curve
        nearby = np.maximum(peaks, np.append(self._loudest_before, peaks[:-1]))
        samples_and_before = np.concatenate([self._before, samples], axis=1)
        windows = np.lib.stride_tricks.sliding_window_view(
            samples_and_before[:, BLOCK - TAPS + 1 :], BLOCK + TAPS - 1, axis=1
        )[:, ::BLOCK]
        for start in range(0, len(peaks), AT_ONCE):
            part = slice(start, start + AT_ONCE)
            chosen = np.flatnonzero(nearby[part] * MOST_OVER > self.peak)
            if len(chosen):
                points = (
                    windows[:, part][:, chosen].reshape(-1, windows.shape[2]) @ FILTER_BY_BLOCKS
                )
                self.peak = max(self.peak, float(points.max()), -float(points.min()))
        self._before = samples[:, -BLOCK:].copy()
        self._loudest_before = peaks[-1]

    def finish(self) -> None:
        silence = np.zeros_like(self._before)
        self.add(silence, silence[0])
