"""Versions played equally loud, so that the louder one does not win by being louder.

All are turned down to one loudness, none is ever turned up: nothing can clip, and nothing gets
louder than its maker printed it. The common loudness is as high as that and the true-peak ceiling
allow, so that the quietest, or one that peaks above the ceiling, is what the others wait for.
"""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Measured:
    """Integrated loudness in LUFS, maximum true peak in dBTP; None where silence has none."""

    lufs: float | None
    dbtp: float | None


@dataclass(frozen=True)
class Match:
    """What each is played with, in the order they were given; a gain is never above 0 dB.

    `held_by` is the index of the one that could not be played louder: because of its true peak if
    `at_the_ceiling`, else since it is the quietest.
    """

    target_lufs: float
    gains_db: list[float]
    held_by: int
    at_the_ceiling: bool


def match_loudness(versions: Sequence[Measured], *, ceiling_dbtp: float) -> Match | None:
    """The gains at which all have the same integrated loudness, and no true peak passes the ceiling.

    One that has no loudness plays as it is. None where fewer than two have one.
    """
    loud = [(index, each) for index, each in enumerate(versions) if each.lufs is not None]
    if len(loud) < 2:
        return None
    most = [(each.lufs + _most_gain(each, ceiling_dbtp), index) for index, each in loud]
    target, held_by = min(most)
    gains = [0.0 if each.lufs is None else target - each.lufs for each in versions]
    return Match(target, gains, held_by, at_the_ceiling=gains[held_by] < 0)


def _most_gain(version: Measured, ceiling_dbtp: float) -> float:
    return 0.0 if version.dbtp is None else min(0.0, ceiling_dbtp - version.dbtp)
