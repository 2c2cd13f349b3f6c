"""What is wrong with a sound at a glance: clipping, silence, and channels that say nothing new."""

from itertools import combinations

import numpy as np

# Full scale to within a step of 16 bits: 16 bits that were clipped stay so in a file of 24.
FULL_SCALE = 1 - 2**-15
# One sample at full scale can be a peak that just fits; three in a row are taken for clipping.
SHORTEST_RUN = 3
MOST_RUNS = 100

# Less than a step of 16 bits, which is about -90 dBFS, is silence.
SILENT_BELOW = 2**-15


class ClippedRuns:
    """Runs of three samples and more at full scale or over it, in any channel.

    `first` has [channel, first frame, frames] of the first hundred, in order of time.
    """

    def __init__(self, channels: int):
        self.count = 0
        self.first: list[list[int]] = []
        self._open: list[int | None] = [None] * channels  # where a run began that goes on

    def add(self, samples: np.ndarray, peak: float, position: int) -> None:
        """Samples shaped (channels, frames), which begin at the frame `position`."""
        if peak < FULL_SCALE and self._open.count(None) == len(self._open):
            return
        found = []
        for channel, one in enumerate(samples):
            starts, lengths = self._runs(channel, one, position)
            clipped = lengths >= SHORTEST_RUN
            self.count += int(clipped.sum())
            starts, lengths = starts[clipped][:MOST_RUNS], lengths[clipped][:MOST_RUNS]
            pairs = zip(starts.tolist(), lengths.tolist(), strict=True)
            found += [[channel + 1, start, length] for start, length in pairs]
        found.sort(key=lambda run: run[1])
        self.first += found[: MOST_RUNS - len(self.first)]

    def finish(self, position: int) -> None:
        self.add(np.zeros((len(self._open), 1)), 0.0, position)

    def _runs(self, channel: int, one: np.ndarray, position: int):
        """Starts and lengths of the runs that end here."""
        full = np.abs(one) >= FULL_SCALE
        edges = np.flatnonzero(np.diff(full, prepend=False, append=False)) + position
        starts, ends = edges[::2], edges[1::2]
        began = self._open[channel]
        if began is not None:
            if full[0]:
                starts[0] = began
            else:
                starts, ends = np.append(began, starts), np.append(position, ends)
        self._open[channel] = int(starts[-1]) if full[-1] else None
        ended = len(starts) - int(full[-1])
        return starts[:ended], ends[:ended] - starts[:ended]


class Silence:
    """Frames at the start and at the end in which no channel rises over -90 dBFS; all of them, at
    both ends, where nothing does."""

    def __init__(self):
        self._frames = 0
        self._first_loud = self._after_last_loud = None

    def add(self, loudest: np.ndarray) -> None:
        """The highest sample of each frame."""
        loud = loudest >= SILENT_BELOW
        if loud.any():
            if self._first_loud is None:
                self._first_loud = self._frames + int(loud.argmax())
            self._after_last_loud = self._frames + len(loud) - int(loud[::-1].argmax())
        self._frames += len(loud)

    @property
    def at_start(self) -> int:
        return self._frames if self._first_loud is None else self._first_loud

    @property
    def at_end(self) -> int:
        return self._frames - (self._after_last_loud or 0)


class IdleChannels:
    """Channels whose samples are all zero, and pairs that are the same sample by sample over the
    whole sound, or the same with the other polarity. Channels count from 1."""

    def __init__(self, channels: int):
        self._dead = set(range(channels))
        pairs = list(combinations(range(channels), 2))
        self._identical, self._antiphase = pairs, pairs

    def add(self, samples: np.ndarray) -> None:
        self._dead = {one for one in self._dead if not samples[one].any()}
        self._identical = [
            (one, other)
            for one, other in self._identical
            if np.array_equal(samples[one], samples[other])
        ]
        self._antiphase = [
            (one, other)
            for one, other in self._antiphase
            if np.array_equal(samples[one], -samples[other])
        ]

    @property
    def dead(self) -> list[int]:
        return [one + 1 for one in sorted(self._dead)]

    @property
    def identical(self) -> list[list[int]]:
        return self._of_sound(self._identical)

    @property
    def antiphase(self) -> list[list[int]]:
        return self._of_sound(self._antiphase)

    def _of_sound(self, pairs) -> list[list[int]]:
        return [[one + 1, other + 1] for one, other in pairs if one not in self._dead]
