"""What a simulated chain does, asked of it directly: without the test file's layout, noise or clock."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy import optimize, signal

from gear.audio.proving.plan import BURST_DB, BURST_S, REST_DB, STAIRS_DB, TONE_HZ, Plan
from gear.audio.proving.result import HERTZ
from tests.simulated.chain import INSIDE, Chain
from tests.simulated.compressor import Compressor, static_reduction_db

BLOCK_S, SETTLED_S = 0.1, 1.5  # a steady sine is asked over the last block of so much
TOLD = 1 - np.exp(-1)  # how far a gain has gone after one time constant
#: IEC 61672-1's poles.
POLES_HZ = (20.598997, 107.65265, 737.86223, 12194.217)


def truth_of(plan: Plan, chain: Chain) -> "Truth":
    return Truth(plan, chain)


@dataclass(frozen=True)
class Truth:
    """Levels in are dBFS of the file, levels out dBFS of the return, of a sine's peak."""

    plan: Plan
    chain: Chain
    _steady: dict = field(default_factory=dict, compare=False, repr=False)
    _timing: dict = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def response_db(self) -> np.ndarray:
        """At HERTZ, the gain with every compressor at rest (make-up counts), not against 1 kHz."""
        return self.at_rest_db(np.array(HERTZ))

    @cached_property
    def at_1_khz_db(self) -> float:
        return float(self.at_rest_db(np.array([TONE_HZ]))[0])

    def gain_db(self, in_dbfs: float) -> float:
        """Of a steady sine of 1 kHz."""
        return self.steady(in_dbfs)[1] - in_dbfs

    @cached_property
    def curve(self) -> tuple[tuple[float, float], ...]:
        """Pairs of level in and out at the plan's stairs."""
        levels = [self.plan.ceiling_dbfs + stair for stair in STAIRS_DB]
        return tuple((level, self.steady(level)[1]) for level in levels)

    def harmonic_db(self, in_dbfs: float, number: int) -> float:
        """Of 1 kHz, against the fundamental; -inf is none."""
        found = self.steady(in_dbfs)
        return found[number] - found[1]

    def steady(self, in_dbfs: float, hertz: float = TONE_HZ) -> np.ndarray:
        """The levels (dBFS) of direct current, the fundamental and its harmonics up to the tenth in what a steady
        sine becomes."""
        if (in_dbfs, hertz) not in self._steady:
            self._steady[in_dbfs, hertz] = self._asked(in_dbfs, hertz)
        return self._steady[in_dbfs, hertz]

    def bent(self, hertz: float) -> float:
        """By what share of a burst's reduction something else than the compressor moves its gain."""
        loud = self.plan.ceiling_dbfs + BURST_DB
        rest = self.plan.ceiling_dbfs + REST_DB
        less = self.steady(rest, hertz)[1] - rest - (self.steady(loud, hertz)[1] - loud)
        way = self.timing(hertz)[2]
        return abs(less - way) / way

    def _asked(self, in_dbfs: float, tone_hz: float) -> np.ndarray:
        rate = INSIDE * self.plan.rate_hz
        count = round(BLOCK_S * rate)
        block = 10 ** (in_dbfs / 20) * np.sin(2 * np.pi * tone_hz * np.arange(count) / rate)
        hertz = np.arange(count // 2 + 1) / BLOCK_S
        for stage in self.chain.stages:
            if hasattr(stage, "response"):
                block = np.fft.irfft(np.fft.rfft(block) * stage.response(hertz), count)
            else:
                block = stage.apply(np.tile(block, round(SETTLED_S / BLOCK_S)), rate)[-count:]
        lines = np.abs(np.fft.rfft(block))[:: round(tone_hz * BLOCK_S)][:11] * 2 / count
        with np.errstate(divide="ignore"):
            return 20 * np.log10(np.where(lines > 1e-12, lines, 0))

    @cached_property
    def compressor(self) -> Compressor | None:
        """The only one, or the first."""
        found = [stage for stage in self.chain.stages if isinstance(stage, Compressor)]
        return found[0] if found else None

    @cached_property
    def compression(self) -> tuple[float, float, float]:
        """Threshold (as level in), ratio and knee that a sine of 1 kHz meets: the published gain
        computer fitted to what the loop does, every decibel up to the ceiling."""
        levels = self.plan.ceiling_dbfs + np.arange(STAIRS_DB[0], 0.1, 1.0)
        gains = np.array([self.gain_db(level) for level in levels])
        named = self.compressor
        before = self.before_db(np.array([TONE_HZ]))[0]

        def off(guess):
            threshold, slope, knee, gain = guess
            return gain - static_reduction_db(levels, threshold, slope, knee) - gains

        start = [
            named.threshold_dbfs - before,
            1 - 1 / named.ratio,
            max(named.knee_db, 0.1),
            gains[0],
        ]
        found = optimize.least_squares(
            off, start, bounds=([-200, 0, 1e-3, -200], [50, 1.2, 60, 200])
        )
        threshold, slope, knee, _ = found.x
        return threshold, 1 / (1 - slope) if slope < 1 else np.inf, knee

    def timing(self, hertz: float) -> tuple[float, float, float]:
        """Attack and release in ms on the plan's bursts of this frequency: when the gain has gone
        1 - 1/e of its way in decibels, read off the gain that the loop makes; and that way in dB."""
        if hertz not in self._timing:
            self._timing[hertz] = self._timed(hertz)
        return self._timing[hertz]

    def _timed(self, hertz: float) -> tuple[float, float, float]:
        rate = INSIDE * self.plan.rate_hz
        at = np.arange(round((2 * BURST_S + self.plan.pause_s) * rate)) / rate
        on, off = BURST_S, 2 * BURST_S
        level = np.where((at >= on) & (at < off), BURST_DB, REST_DB) + self.plan.ceiling_dbfs
        samples = 10 ** (level / 20) * np.sin(2 * np.pi * hertz * at)
        for stage in self.chain.stages:
            if stage is self.compressor:
                break
            samples = _applied(stage, samples, rate)
        gain = self.compressor.gain_db(samples, rate)
        start, stop = round(on * rate), round(off * rate)
        rest, held = gain[start - 1], gain[stop - round(0.01 * rate) : stop].mean()
        fell = np.argmax(gain[start:] <= rest + TOLD * (held - rest))
        rose = np.argmax(gain[stop:] >= gain[stop] + TOLD * (rest - gain[stop]))
        return 1000 * fell / rate, 1000 * rose / rate, rest - held

    @property
    def noise_dbfs(self) -> float:
        """From 20 Hz to 20 kHz, with the hum that lies there."""
        return self._noise(lambda hertz: 0 * hertz)

    @property
    def noise_a_dbfs(self) -> float:
        """The same, weighted."""
        return self._noise(a_weighting_db)

    def _noise(self, weighting_db) -> float:
        hertz = np.linspace(20, 20_000, 20_000)
        white = -np.inf if self.chain.noise_dbfs is None else self.chain.noise_dbfs
        power = 10 ** (white / 10) * np.mean(10 ** (weighting_db(hertz) / 10))
        for line, level in self.chain.hum:
            power += 10 ** ((level + weighting_db(np.array([line]))[0]) / 10)
        with np.errstate(divide="ignore"):
            return float(10 * np.log10(power))

    def at_rest_db(self, hertz: np.ndarray) -> np.ndarray:
        """The gain while every compressor is at rest."""
        linear = 20 * np.log10(np.abs(self.chain.response(hertz)))
        return linear + sum(getattr(stage, "make_up_db", 0) for stage in self.chain.stages)

    def before_db(self, hertz: np.ndarray) -> np.ndarray:
        """The gain ahead of the compressor."""
        stages = self.chain.stages[: self.chain.stages.index(self.compressor)]
        return 20 * np.log10(np.abs(Chain(stages).response(hertz)))


def a_weighting_db(hertz: np.ndarray) -> np.ndarray:
    """From its analogue poles, by scipy: nothing of the product's."""
    low, second, third, high = (2 * np.pi * pole for pole in POLES_HZ)
    poles = [-low, -low, -second, -third, -high, -high]
    at = 2 * np.pi * np.append(hertz, 1000.0)
    found = 20 * np.log10(np.abs(signal.freqs_zpk([0] * 4, poles, 1.0, worN=at)[1]))
    return found[:-1] - found[-1]


def _applied(stage, samples, rate):
    if not hasattr(stage, "response"):
        return stage.apply(samples, rate)
    whole = 2 * samples.size
    hertz = np.fft.rfftfreq(whole, 1 / rate)
    return np.fft.irfft(np.fft.rfft(samples, whole) * stage.response(hertz), whole)[: samples.size]
