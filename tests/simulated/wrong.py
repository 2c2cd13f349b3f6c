"""Recordings that are no return of the test file, or a spoiled one: each with what it should be called."""

import random
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy import signal

from gear.audio.proving.plan import Plan
from tests.simulated.chain import Chain, simulated_return
from tests.simulated.compressor import Compressor
from tests.simulated.linear import Gain, HighPass, HighShelf, Peak

#: Between them a return sounds.
FIRST_S, LAST_S = 2.5, 60.0

CHAINS = (
    Chain(latency_samples=120.4, noise_dbfs=-100.0),
    Chain(
        (HighPass(60), Peak(2500, 5, 1.5), HighShelf(8000, -4)),
        polarity=-1,
        latency_samples=900.7,
        clock_ppm=8.0,
        noise_dbfs=-95.0,
    ),
    Chain(
        (Gain(4), Compressor(-22, 3, 4, 8, 120, make_up_db=2), Peak(300, -3)),
        latency_samples=300.2,
        clock_ppm=-20.0,
        noise_dbfs=-92.0,
    ),
)


@dataclass(frozen=True)
class Wrong:
    """kind says what was done to it; keys, what NotMeasured or a fault may call it. rate_hz is what its
    file states."""

    kind: str
    keys: frozenset[str]
    samples: np.ndarray
    rate_hz: int


class Wrongs:
    """One by one, by lot, of returns that are made once."""

    def __init__(self, plan: Plan):
        self.plan = plan
        self._returns = [simulated_return(plan, chain) for chain in CHAINS]
        longer = replace(plan, release_s=4 * plan.release_s)
        self._of_another_plan = simulated_return(longer, CHAINS[0])

    def drawn(self, chance: random.Random, kind: str) -> Wrong:
        make, keys = KINDS[kind]
        samples = chance.choice(self._returns).copy()
        made = make(self, samples, chance)
        samples, rate_hz = made if isinstance(made, tuple) else (made, self.plan.rate_hz)
        return Wrong(kind, frozenset(keys), samples, rate_hz)

    def _place(self, chance: random.Random) -> int:
        return round(chance.uniform(FIRST_S, LAST_S) * self.plan.rate_hz)

    def _loud_place(self, samples: np.ndarray, chance: random.Random) -> int:
        """Where something sounds that is well above the noise."""
        while True:
            at = self._place(chance)
            if np.abs(samples[at : at + 480]).max() > 10 ** (-55 / 20):
                return at

    def silent(self, samples, chance):
        return np.zeros_like(samples)

    def only_noise(self, samples, chance):
        level = 10 ** (chance.uniform(-110, -20) / 20)
        return level * _generator(chance).standard_normal(samples.size)

    def hum(self, samples, chance):
        at = np.arange(samples.size) / self.plan.rate_hz
        mains = chance.choice((50, 60))
        lines = [10 ** (-chance.uniform(20, 60) / 20) for _ in range(5)]
        return sum(a * np.sin(2 * np.pi * mains * (n + 1) * at) for n, a in enumerate(lines))

    def music(self, samples, chance):
        """Struck chords over noise: what another track of the session holds."""
        at = np.arange(samples.size) / self.plan.rate_hz
        notes = [110 * 2 ** (chance.randint(0, 48) / 12) for _ in range(8)]
        struck = np.exp(-(at * chance.uniform(1, 4) % 1) * 6)
        chord = sum(np.sin(2 * np.pi * hertz * at + number) for number, hertz in enumerate(notes))
        return 0.05 * struck * chord + 0.01 * _generator(chance).standard_normal(at.size) * struck

    def of_another_plan(self, samples, chance):
        return self._of_another_plan

    def backwards(self, samples, chance):
        return samples[::-1].copy()

    def stated_other_rate(self, samples, chance):
        rates = {44_100, 48_000, 88_200, 96_000} - {self.plan.rate_hz}
        return samples, chance.choice(sorted(rates))

    def played_at_other_rate(self, samples, chance):
        """The file's samples at 44.1 for 48 kHz, or the other way round: pitch and length are off."""
        up, down = chance.choice(((147, 160), (160, 147)))
        return signal.resample_poly(samples, up, down)

    def starts_late(self, samples, chance):
        return samples[round(chance.uniform(0.6, 30) * self.plan.rate_hz) :]

    def ends_early(self, samples, chance):
        return samples[: round(chance.uniform(1, self.plan.length_s - 1) * self.plan.rate_hz)]

    def gap(self, samples, chance):
        at = self._loud_place(samples, chance)
        samples[at : at + round(chance.uniform(0.002, 0.2) * self.plan.rate_hz)] = 0
        return samples

    def lost_samples(self, samples, chance):
        at = self._loud_place(samples, chance)
        return np.delete(samples, slice(at, at + chance.choice((16, 64, 512, 1024, 4096))))

    def repeated_block(self, samples, chance):
        at = self._loud_place(samples, chance)
        block = chance.choice((64, 256, 512, 1024))
        return np.insert(samples, at, samples[at - block : at])

    def clipped(self, samples, chance):
        louder = 10 ** (chance.uniform(0.5, 12) / 20) / np.abs(samples).max()
        return np.clip(samples * louder, -1, 1 - 2**-23)

    def gain_changed(self, samples, chance):
        decibels = chance.choice((-1, 1)) * chance.uniform(0.3, 10)
        samples[self._place(chance) :] *= 10 ** (decibels / 20)
        return samples if np.abs(samples).max() < 1 else samples / np.abs(samples).max() * 0.9

    def not_numbers(self, samples, chance):
        samples[self._place(chance)] = chance.choice((np.nan, np.inf, -np.inf))
        return samples

    def nothing(self, samples, chance):
        return samples[: chance.randint(0, 200)]

    def talked_over(self, samples, chance):
        """Something else came in through the same input, as loud as the file, for some seconds."""
        at, length = self._place(chance), round(chance.uniform(2, 8) * self.plan.rate_hz)
        loud = self.music(samples, chance)[:length]
        part = samples[at : at + length]
        part += loud[: part.size] / np.abs(loud).max() * np.abs(samples).max() * 0.5
        return samples


_FOREIGN = ("other file", "other channel", "other rate", "too short", "silent")
_DROPOUT = ("dropout", "gain changed", "other file", "too short")

#: How each is made, and what it may be called.
KINDS: dict[str, tuple[Callable, tuple[str, ...]]] = {
    "silent": (Wrongs.silent, ("silent",)),
    "only noise": (Wrongs.only_noise, _FOREIGN),
    "only hum": (Wrongs.hum, _FOREIGN),
    "music": (Wrongs.music, _FOREIGN),
    "of another plan": (Wrongs.of_another_plan, ("other file", "dropout", "too short")),
    "backwards": (Wrongs.backwards, _FOREIGN),
    "stated other rate": (Wrongs.stated_other_rate, ("other rate",)),
    "played at other rate": (Wrongs.played_at_other_rate, ("other rate",)),
    "starts late": (Wrongs.starts_late, ("too short", "other file")),
    "ends early": (Wrongs.ends_early, ("too short", "other file", "silent")),
    "gap": (Wrongs.gap, _DROPOUT),
    "lost samples": (Wrongs.lost_samples, _DROPOUT),
    "repeated block": (Wrongs.repeated_block, _DROPOUT),
    "clipped": (Wrongs.clipped, ("clipped",)),
    "gain changed": (Wrongs.gain_changed, ("gain changed", "dropout")),
    "not numbers": (Wrongs.not_numbers, ("not sound",)),
    "nothing": (Wrongs.nothing, ("too short", "not sound", "silent", "other file")),
    "talked over": (Wrongs.talked_over, ("dropout", "gain changed", "other file", "disturbed")),
}


def _generator(chance: random.Random) -> np.random.Generator:
    return np.random.default_rng(chance.getrandbits(32))
