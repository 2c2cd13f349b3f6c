"""Where the three tones sound in a recording that may begin and end anywhere."""

from functools import cached_property

import numpy as np

from gear.audio.proving.plan import Section
from gear.audio.proving.three_tones.layout import MIDDLE_HZ, ThreeTones

#: A step of the search, and how many a window has: 0.2 s, six periods of the lowest tone.
STEP_S, WINDOW_STEPS = 0.02, 11
#: Of each tone the first second is left to what settles, and its end to a place that is a step off.
SETTLES_S, SPARE_S = 1.0, 0.3
#: How far a tone's own frequency stands above what it has in the rest of the recording.
THERE_DB, MIDDLE_THERE_DB = 6.0, 10.0
STEADY_DB = 3.0
_NOTHING = 1e-30


class Strengths:
    """The power of each frequency, step by step through a recording (1 is a sine's at full scale).

    ratio: how many times too fast the file is taken to have been played.
    """

    def __init__(self, plan: ThreeTones, samples: np.ndarray, rate_hz: float, ratio: float = 1.0):
        step = round(STEP_S * rate_hz)
        self.step_s = step / rate_hz
        self.hertz = sorted({each * ratio for each in plan.hertz})
        blocks = samples[: samples.size // step * step].reshape(-1, step)
        within = 2 * np.pi * np.arange(step) / rate_hz
        starts = 2 * np.pi * np.arange(len(blocks)) * self.step_s
        window = np.hanning(WINDOW_STEPS + 2)[1:-1]
        self._of: dict[float, np.ndarray] = {}
        for each in self.hertz:
            # Two real products: a complex one would make a complex copy of the recording.
            turns = np.stack([np.cos(each * within), np.sin(each * within)], axis=1)
            parts = blocks @ turns.astype(np.float32)
            sums = (parts[:, 0] - 1j * parts[:, 1]) * np.exp(-1j * each * starts)
            if sums.size >= WINDOW_STEPS:
                sums = np.convolve(sums, window, "same") / window.sum()
            self._of[each] = np.abs(2 * sums / step) ** 2

    def of(self, hertz: float) -> np.ndarray:
        return self._of[hertz]


class Located:
    """The place at which the sections of the file fit a recording best."""

    def __init__(self, plan: ThreeTones, samples: np.ndarray, rate_hz: float, ratio: float = 1.0):
        self._strengths = Strengths(plan, samples, rate_hz, ratio)
        self._step_s = self._strengths.step_s
        self._middle = MIDDLE_HZ * ratio
        self.sections = sections_from_first(plan, ratio)
        self._length = round(self.sections[-1].end_s / self._step_s)
        # Half of the file may be cut off at either end, so that this is found and said.
        self._pad = self._length // 2
        self._contrasts: dict[float, float] = {}
        self._first = self._best()

    @property
    def starts_s(self) -> float:
        """Where the first tone begins; below 0 where the recording began too late."""
        return self._first * self._step_s

    @cached_property
    def is_it(self) -> bool:
        """1 kHz stands out all through its own section, and so does one of the others in theirs."""
        levels = self.levels_db(self.sections[0])
        if self._contrasts[self._middle] < MIDDLE_THERE_DB or not levels.size:
            return False
        is_steady = np.median(levels) - np.quantile(levels, 0.1) <= STEADY_DB
        others = set(self._strengths.hertz) - {self._middle}
        return bool(is_steady) and any(self.is_there(hertz) for hertz in others)

    def contrast_db(self, hertz: float) -> float:
        """Its power while it should sound, against the rest of the file's time."""
        return self._contrasts[hertz]

    def is_there(self, hertz: float) -> bool:
        return self._contrasts[hertz] >= THERE_DB

    def levels_db(self, section: Section) -> np.ndarray:
        """Step by step through what is read of a section."""
        return self._between(section, section.start_s + SETTLES_S, section.end_s - SPARE_S)

    def before_db(self, section: Section) -> float | None:
        """What is heard at its frequency in the pause before it; None where nothing was recorded."""
        levels = self._between(section, section.start_s - 0.6, section.start_s - 0.2)
        return float(10 * np.log10(np.mean(10 ** (levels / 10)))) if levels.size else None

    def _between(self, section: Section, from_s: float, to_s: float) -> np.ndarray:
        first, last = (self._first + round(each / self._step_s) for each in (from_s, to_s))
        powers = self._strengths.of(section.hertz)[max(first, 0) : max(last, 0)]
        return 10 * np.log10(powers + _NOTHING)

    def _best(self) -> int:
        """Where the power of all frequencies within their sections, against that without, is most."""
        inside, outside = {}, {}
        for hertz in self._strengths.hertz:
            inside[hertz], outside[hertz] = self._means(hertz)
        score = sum(
            (inside[hertz] - outside[hertz]) / max(inside[hertz].max(), _NOTHING)
            for hertz in inside
        )
        best = int(np.argmax(score))
        for hertz in inside:
            share = (inside[hertz][best] + _NOTHING) / (outside[hertz][best] + _NOTHING)
            self._contrasts[hertz] = float(10 * np.log10(share))
        return best - self._pad

    def _means(self, hertz: float) -> tuple[np.ndarray, np.ndarray]:
        """The mean power within the frequency's own sections and without, for each first step."""
        sums = np.concatenate([[0.0], np.cumsum(np.pad(self._strengths.of(hertz), self._pad))])
        if sums.size <= self._length:
            sums = np.pad(sums, (0, self._length + 1 - sums.size), mode="edge")
        firsts = np.arange(sums.size - self._length)

        def over(spare_s: float) -> tuple[np.ndarray, int]:
            total, steps = np.zeros(firsts.size), 0
            for section in self.sections:
                if section.hertz == hertz:
                    begins = round((section.start_s + spare_s) / self._step_s)
                    ends = round((section.end_s - spare_s) / self._step_s)
                    total += sums[firsts + ends] - sums[firsts + begins]
                    steps += ends - begins
            return total, steps

        inner, inner_steps = over(SPARE_S)
        own, own_steps = over(0)
        rest = np.maximum(sums[firsts + self._length] - sums[firsts] - own, 0)
        return inner / inner_steps, rest / (self._length - own_steps)


def sections_from_first(plan: ThreeTones, ratio: float = 1.0) -> tuple[Section, ...]:
    """Timed from the first tone on, as they are heard where the file is played too fast."""
    first = plan.sections[0].start_s
    return tuple(
        Section(
            each.kind,
            (each.start_s - first) / ratio,
            each.length_s / ratio,
            hertz=each.hertz * ratio,
        )
        for each in plan.sections
    )
