"""What the test file holds, and when: the one layout that its maker and its readers share.

Levels are in dB below the file's ceiling, which is the loudest that the chain takes without clipping
(the level plan's); times in seconds from the first sample of the file.
"""

import math
from dataclasses import dataclass
from typing import Literal

#: Changes with the layout: a return is read by the layout that its file was made by.
VERSION = 1

Kind = Literal["mark", "tone", "sweep", "staircase", "bursts", "silence"]

TONE_HZ = 1000.0
TONE_S, TONE_DB = 1.5, -30.0
MARK_S, MARK_HZ, MARK_DB = 0.25, (500.0, 8000.0), -20.0
#: A sweep ends above what is heard and begins below it, so that its own ends fall outside.
SWEEP_S, SWEEP_HZ, SWEEP_DB = 7.0, (8.0, 20_500.0), (-40.0, -30.0, -20.0, -10.0)
STAIR_S, STAIRS_DB = 0.5, tuple(float(level) for level in range(-40, 1, 2))
BURST_HZ = (1000.0, 5000.0)
BURST_S, BURST_DB, REST_DB = 0.5, 0.0, -40.0
SILENCE_S = 3.0
GAP_S = 0.25  # after a mark, a tone and the stairs
TAIL_S = 0.6  # after a sweep, for what rings on
#: Of one frequency: half a second of carrier, then bursts, each with four release times or more after it.
BURSTS_S, RELEASES = 9.0, 4
#: After the loudest sweep, so that the first stairs meet a compressor at rest.
REST_RELEASES = 6
#: A longer release than this the file can't tell.
LONGEST_RELEASE_S = (BURSTS_S - 2 * BURST_S) / RELEASES


@dataclass(frozen=True)
class Section:
    """One part of the file. `hertz` and `level_db` are the first of a rising sweep or staircase; of
    bursts, which stand on a carrier at REST_DB, the level is that of the burst."""

    kind: Kind
    start_s: float
    length_s: float
    hertz: float = 0.0
    level_db: float = 0.0
    is_reversed: bool = False

    @property
    def end_s(self) -> float:
        return self.start_s + self.length_s


@dataclass(frozen=True)
class Plan:
    """A test file: its sample rate, its ceiling in dBFS (peak of a sine), and the longest release that
    the chain's controls say, for the pauses between bursts.

    Raises ValueError for a rate that doesn't carry the sweep, and a ceiling above full scale.
    """

    rate_hz: int
    ceiling_dbfs: float
    release_s: float = 0.2

    def __post_init__(self) -> None:
        if self.rate_hz < 44_100:
            raise ValueError("The test file needs a sample rate of 44.1 kHz or more.")
        if self.ceiling_dbfs > 0:
            raise ValueError("The test file’s ceiling is 0 dBFS at most.")

    @property
    def burst_count(self) -> int:
        """Of one frequency."""
        return max(1, math.floor((BURSTS_S - BURST_S) / (BURST_S + RELEASES * self.release_s)))

    @property
    def pause_s(self) -> float:
        """After each burst, in whole milliseconds, so that each begins where the carrier crosses zero."""
        whole = math.floor(1000 * (BURSTS_S - BURST_S) / self.burst_count) / 1000
        return whole - BURST_S

    @property
    def sections(self) -> tuple[Section, ...]:
        """In the order of time. Marks at both ends, the second one reversed."""
        made: list[Section] = []
        at = GAP_S

        def add(kind: Kind, length: float, then: float, **facts) -> None:
            nonlocal at
            made.append(Section(kind, at, length, **facts))
            # Sections begin on whole milliseconds, which every usual rate but 44.1 kHz and its
            # multiples has as whole samples; `samples` rounds to the nearest.
            at = math.ceil((at + length + then) * 1000 - 1e-6) / 1000

        add("mark", MARK_S, GAP_S, level_db=MARK_DB)
        add("tone", TONE_S, GAP_S, hertz=TONE_HZ, level_db=TONE_DB)
        for level in SWEEP_DB:
            rest = max(TAIL_S, REST_RELEASES * self.release_s) if level == SWEEP_DB[-1] else TAIL_S
            add("sweep", SWEEP_S, rest, hertz=SWEEP_HZ[0], level_db=level)
        add("staircase", STAIR_S * len(STAIRS_DB), GAP_S, hertz=TONE_HZ, level_db=STAIRS_DB[0])
        for hertz in BURST_HZ:
            add("bursts", BURSTS_S, GAP_S, hertz=hertz, level_db=BURST_DB)
        add("silence", SILENCE_S, GAP_S)
        add("tone", TONE_S, GAP_S, hertz=TONE_HZ, level_db=TONE_DB)
        add("mark", MARK_S, GAP_S, level_db=MARK_DB, is_reversed=True)
        return tuple(made)

    @property
    def length_s(self) -> float:
        return self.sections[-1].end_s + GAP_S

    def of(self, kind: Kind) -> list[Section]:
        return [section for section in self.sections if section.kind == kind]

    def as_json(self) -> dict:
        """What a return is read by."""
        return {
            "version": VERSION,
            "rate_hz": self.rate_hz,
            "ceiling_dbfs": self.ceiling_dbfs,
            "release_s": self.release_s,
        }

    @classmethod
    def from_json(cls, data: dict) -> "Plan":
        """Raises ValueError for the layout of another version."""
        if data["version"] != VERSION:
            raise ValueError("That test file was made by another version: make it anew.")
        return cls(data["rate_hz"], data["ceiling_dbfs"], data["release_s"])
