"""Damaged files: each is read or said to be damaged; nothing crashes, nothing hangs.

`python -m tests.measure long files --count 2000 --seed 7`
"""

import random
from collections import Counter
from dataclasses import dataclass
from io import BytesIO

from sessions.takes.files.child import FoundFile, facts_of_each
from sessions.takes.files.chunks import read_header
from tests.sessions.takes.files.written import bext, damaged, ixml, rf64, wav

AT_ONCE = 200


@dataclass(frozen=True)
class Damaged:
    """`whole` had nothing wrong that was noticed, `said` something, `no_wave` no WAV header left;
    `stopped` ended their reader."""

    count: int
    seed: int
    whole: int
    said: int
    no_wave: int
    stopped: int

    @property
    def holds(self) -> bool:
        return not self.stopped and self.whole + self.said + self.no_wave == self.count

    def __str__(self) -> str:
        return (
            f"{self.count} damaged files (seed {self.seed}): {self.whole} read, {self.said} said to be "
            f"damaged, {self.no_wave} no longer WAV files, {self.stopped} stopped their reader"
        )


def read_damaged(count: int, seed: int) -> Damaged:
    notes = [
        bext(
            description="Slow the Lantern",
            date="2026-06-01",
            time="11-00-00",
            samples=1_900_800_000,
        ),
        ixml(TAKE="7", NOTE="last chorus", tracks=("Cnt LC", "Qrt SA"), stamp=(48_048_000, 48_000)),
    ]
    sources = [
        wav(*notes),
        wav(after=b"".join(notes)),
        rf64(*notes),
        rf64(kind=b"BW64", after=notes[1]),
    ]
    chance = random.Random(seed)
    found = Counter()
    for first in range(0, count, AT_ONCE):
        batch = [
            _found(damaged(sources[number % len(sources)], chance))
            for number in range(first, min(count, first + AT_ONCE))
        ]
        for facts in facts_of_each(batch):
            stopped = any("stops its reader" in problem for problem in facts.problems)
            found["stopped" if stopped else _outcome(facts)] += 1
    names = ("whole", "said", "no_wave", "stopped")
    return Damaged(count, seed, **{name: found[name] for name in names})


def _outcome(facts) -> str:
    if not facts.kind:
        return "no_wave"
    return "said" if facts.problems else "whole"


def _found(content: bytes) -> FoundFile:
    header = read_header(BytesIO(content), len(content))
    return FoundFile("a.wav", len(content), header.content, header.sound_bytes)
