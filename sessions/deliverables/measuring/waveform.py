"""The outline of a sound, gathered while it streams past."""

import numpy as np

FINE_BUCKETS_A_COLUMN = 8


class Waveform:
    """Lowest and highest sample over a fixed number of columns of a sound of unknown length.

    Buckets start one frame wide; whenever there are too many, neighbours merge in pairs. So memory
    stays the same however long the sound is.
    """

    def __init__(self, columns: int):
        self._columns = columns
        self._width = 1
        self._lows = self._highs = np.empty(0)
        self._pending_lows = self._pending_highs = np.empty(0)

    def add(self, lows: np.ndarray, highs: np.ndarray) -> None:
        """The lowest and highest sample of each frame."""
        self._fill(lows, highs)
        while len(self._lows) >= self._columns * FINE_BUCKETS_A_COLUMN:
            self._widen()

    def columns(self) -> list[tuple[float, float]]:
        """One pair (lowest, highest) for each column, from the first frame to the last."""
        lows, highs = self._lows, self._highs
        if len(self._pending_lows):
            lows = np.append(lows, self._pending_lows.min())
            highs = np.append(highs, self._pending_highs.max())
        starts = np.arange(self._columns) * len(lows) // self._columns
        return list(
            zip(
                np.minimum.reduceat(lows, starts).tolist(),
                np.maximum.reduceat(highs, starts).tolist(),
                strict=True,
            )
        )

    def _fill(self, lows: np.ndarray, highs: np.ndarray) -> None:
        lows = np.append(self._pending_lows, lows)
        highs = np.append(self._pending_highs, highs)
        whole = len(lows) // self._width * self._width
        self._lows = np.append(self._lows, lows[:whole].reshape(-1, self._width).min(axis=1))
        self._highs = np.append(self._highs, highs[:whole].reshape(-1, self._width).max(axis=1))
        self._pending_lows, self._pending_highs = lows[whole:], highs[whole:]

    def _widen(self) -> None:
        lows, highs = self._lows, self._highs
        pending_lows, pending_highs = self._pending_lows, self._pending_highs
        if len(lows) % 2:
            # Half a bucket of the new width: back to frames, where the other half will join it.
            pending_lows = np.append(np.repeat(lows[-1], self._width), pending_lows)
            pending_highs = np.append(np.repeat(highs[-1], self._width), pending_highs)
        even = len(lows) // 2 * 2
        self._lows = lows[:even].reshape(-1, 2).min(axis=1)
        self._highs = highs[:even].reshape(-1, 2).max(axis=1)
        self._width *= 2
        self._pending_lows = self._pending_highs = np.empty(0)
        self._fill(pending_lows, pending_highs)
