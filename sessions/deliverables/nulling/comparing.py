"""The sum of stems subtracted from a mix, block by block: memory does not grow with the length."""

import math
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

import numpy as np

from .aligning import first_sound, shift_between
from .reading import Stream, opened

# Octaves by ISO 266 and IEC 61260-1: nominal by exact centre, 1000 · 10^(3n/10) Hz.
OCTAVES = {
    nominal: 1000 * 10 ** (0.3 * n)
    for n, nominal in enumerate((31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000), -5)
}
HALF_OCTAVE = 10**0.15
MOST_STEPS = 600  # columns of time that are kept


@dataclass(frozen=True)
class Sound:
    """A file to be compared. `start` is its time stamp in samples, None without one."""

    path: str
    frames: int
    channels: int
    start: int | None = None


def compare(stems: Sequence[Sound], mix: Sound, *, rate: int) -> dict:
    """What is left of the mix once the stems are taken from it, as JSON keeps it.

    All files have the `rate`; a stem has one channel, which goes to all of the mix, or as many as the
    mix. Stems that all have a time stamp begin by it, others together. Levels are dB of full scale,
    None for silence; RMS is the mean over channels, that of a full-scale sine −3.0 dB.

    `shift`: how many samples the stems are moved earlier (aligned_by "time stamps" or "sound");
    `by_sound` is what the sounds say, `is_flipped` whether their polarity is opposite. `seconds` has
    [residual peak, residual RMS, mix RMS] for each `step_seconds`, `bands` [nominal frequency,
    residual RMS, mix RMS]. `gains` has for each stem the gain at which the mix would have it, if only
    this stem differed, and which share of the residual's power that explains; `gain` the same for all
    stems together.
    """
    starts = _starts(stems)
    by_sound, is_flipped = _shift_by_sound(stems, mix, starts)
    stamped = mix.start is not None and all(stem.start is not None for stem in stems)
    shift = mix.start - min(stem.start for stem in stems) if stamped else by_sound
    leads = [start - shift for start in starts]
    before = -min(0, *leads)  # the line of time begins with whatever is first
    ends = [lead + stem.frames for lead, stem in zip(leads, stems, strict=True)]
    frames = max(mix.frames, *ends) + before
    step = math.ceil(frames / rate / MOST_STEPS)
    residue = _Residue(len(stems), mix.channels, rate)
    with _streams([*stems, mix], [lead + before for lead in leads] + [before]) as streams:
        for done in range(0, frames, rate):
            count = min(rate, frames - done)
            residue.add([stream.read(count) for stream in streams])
            if (done // rate + 1) % step == 0 or done + count == frames:
                residue.end_step()
    return {
        "shift": shift,
        "aligned_by": "time stamps" if stamped else "sound",
        "by_sound": by_sound,
        "is_flipped": is_flipped,
        "stems_end_frames": max(ends),
        "mix_end_frames": mix.frames,
        "step_seconds": step,
        **residue.figures(frames),
    }


class _Residue:
    """Sums over what was read so far."""

    def __init__(self, stems: int, channels: int, rate: int):
        self._rate, self._channels = rate, channels
        self._seconds: list[list[float | None]] = []
        self._step = np.zeros(4)  # peak and power of the residual, power of the mix, frames
        self._peaks, self._powers = np.zeros(2), np.zeros(2)  # of residual and mix
        self._with_residual = np.zeros(stems + 1)  # products of each stem, and of their sum
        self._with_itself = np.zeros(stems + 1)
        self._bands = _Bands(channels, rate)

    def add(self, blocks: list[np.ndarray]) -> None:
        """A block of each stem and, as the last, of the mix."""
        *stems, mix = blocks
        total = np.zeros_like(mix)
        for stem in stems:
            total += stem
        residual = mix - total
        for place, stem in enumerate([*stems, total]):
            self._with_residual[place] += np.sum(stem * residual)
            self._with_itself[place] += np.sum(np.broadcast_to(stem, mix.shape) ** 2)
        peaks = np.abs(residual).max(), np.abs(mix).max()
        powers = np.sum(residual**2), np.sum(mix**2)
        self._peaks = np.maximum(self._peaks, peaks)
        self._powers += powers
        self._step = np.array(
            [max(self._step[0], peaks[0]), *(self._step[1:3] + powers), self._step[3] + mix.size]
        )
        self._bands.add(residual, mix)

    def end_step(self) -> None:
        peak, residual, mix, count = self._step
        self._seconds.append([_db(peak), _power_db(residual / count), _power_db(mix / count)])
        self._step[:] = 0

    def figures(self, frames: int) -> dict:
        count = frames * self._channels
        left = self._powers[0]
        gains = [
            [1 + one / itself, one**2 / itself / left] if itself and left else [1.0, 0.0]
            for one, itself in zip(self._with_residual, self._with_itself, strict=True)
        ]
        return {
            "peak_dbfs": _db(self._peaks[0]),
            "rms_dbfs": _power_db(left / count),
            "mix_peak_dbfs": _db(self._peaks[1]),
            "mix_rms_dbfs": _power_db(self._powers[1] / count),
            "seconds": self._seconds,
            "bands": self._bands.figures(count),
            "gains": [[float(gain), float(share)] for gain, share in gains[:-1]],
            "gain": [float(figure) for figure in gains[-1]],
        }


class _Bands:
    """Power by octave, from the spectra of windows (Hann) that overlap by three quarters: so each
    sample weighs the same, and by Parseval the octaves add up to all of the power."""

    def __init__(self, channels: int, rate: int):
        self._size = 1 << (rate // 4).bit_length()
        self._hop = self._size // 4
        self._window = np.hanning(self._size + 1)[:-1]
        frequencies = np.fft.rfftfreq(self._size, 1 / rate)
        self._bands = {
            nominal: (frequencies >= centre / HALF_OCTAVE) & (frequencies < centre * HALF_OCTAVE)
            for nominal, centre in OCTAVES.items()
            if centre < rate / 2
        }
        self._powers = np.zeros((2, len(frequencies)))
        self._kept = np.zeros((2, channels, self._size - self._hop))

    def add(self, residual: np.ndarray, mix: np.ndarray) -> None:
        block, at = np.concatenate([self._kept, np.stack([residual, mix])], axis=2), 0
        while at + self._size <= block.shape[2]:
            spectrum = np.fft.rfft(block[:, :, at : at + self._size] * self._window)
            self._powers += (np.abs(spectrum) ** 2).sum(axis=1)
            at += self._hop
        self._kept = block[:, :, at:]

    def figures(self, count: int) -> list[list[float | None]]:
        """`count`: samples of all channels."""
        self.add(*np.zeros((2, self._kept.shape[1], self._size)))
        each = 2 / self._size / (4 * np.mean(self._window**2)) / count  # bins stand for two
        return [
            [nominal, *(_power_db(each * powers[band].sum()) for powers in self._powers)]
            for nominal, band in self._bands.items()
        ]


def _starts(stems: Sequence[Sound]) -> list[int]:
    """Where each begins after the first of them."""
    if any(stem.start is None for stem in stems):
        return [0] * len(stems)
    first = min(stem.start for stem in stems)
    return [stem.start - first for stem in stems]


def _shift_by_sound(stems: Sequence[Sound], mix: Sound, starts: list[int]) -> tuple[int, bool]:
    with _streams([*stems, mix], [*starts, 0]) as streams:

        def read(count: int) -> tuple[np.ndarray, np.ndarray]:
            *parts, whole = (stream.read(count).mean(axis=0) for stream in streams)
            return whole, sum(parts)

        found = first_sound(read, length=max(sound.frames for sound in [*stems, mix]))
    return shift_between(*found) if found else (0, False)


@contextmanager
def _streams(sounds: Sequence[Sound], leads: Sequence[int]) -> Iterator[list[Stream]]:
    with ExitStack() as stack:
        yield [
            Stream(stack.enter_context(opened(sound.path)), lead=lead)
            for sound, lead in zip(sounds, leads, strict=True)
        ]


def _db(value: float) -> float | None:
    return 20 * math.log10(value) if value > 0 else None


def _power_db(value: float) -> float | None:
    return 10 * math.log10(value) if value > 0 else None
