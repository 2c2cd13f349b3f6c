"""Ways to bring a rebuilt chain back to what it did, in the words of its own panels."""

import math
from dataclasses import dataclass

from gear.audio.dial import DETENTED
from gear.audio.level_text import level_text
from gear.audio.proving.explaining.proposal import Explanation, Move, Proposal, Remainder
from gear.audio.values import format_value
from gear.panels.models import Control
from gear.panels.reading import read_control
from gear.panels.travel import travel
from sessions.recall.rebuilds.lines import ControlLine, StageLine

#: Less than this at any frequency and level is no longer told of what would remain.
_NOTHING_DB = 0.05


@dataclass(frozen=True)
class Turn:
    """A control to turn: from where the record says that it stands, as it is read off its panel."""

    stage: StageLine
    line: ControlLine
    move: Move

    @property
    def control(self) -> Control:
        return self.line.control

    @property
    def start(self) -> float:
        return readable(self.control, self.move.from_value)

    @property
    def goal(self) -> float:
        return readable(self.control, self.move.to_value)

    @property
    def name(self) -> str:
        """Of its fields in a form."""
        return name_of(self.stage, self.control)

    @property
    def typed(self) -> str:
        """The goal as it is typed."""
        return read_control(self.control, self.goal).value_text

    @property
    def from_text(self) -> str:
        return read_control(self.control, self.start).value_text

    @property
    def to_text(self) -> str:
        reading = read_control(self.control, self.goal)
        return ", ".join(filter(None, (reading.value_text, reading.clock_text)))

    @property
    def how_far(self) -> str:
        """8°, +1.5 dB"""
        moved = travel(self.control, self.goal, was=self.start)
        return ", ".join(filter(None, (moved.words, moved.difference)))

    @property
    def is_elsewhere(self) -> bool:
        """It can only be that it stands elsewhere than the record says."""
        return self.move.stands_elsewhere

    @property
    def acts_as(self) -> str:
        value = readable(self.control, self.move.acts_as)
        return read_control(self.control, value).value_text


def name_of(stage: StageLine, control: Control) -> str:
    return f"turn-{stage.step.pk}-{control.key}"


@dataclass(frozen=True)
class Way:
    """Turns that together would bring it back, and what would remain."""

    turns: tuple[Turn, ...]
    explanation: Explanation

    @property
    def remains(self) -> str:
        return remains_in_words(self.explanation.remains)

    @property
    def elsewhere(self) -> str:
        """So much level goes missing, or comes, where no logged control is; empty where none does."""
        by = self.explanation.elsewhere_db
        if abs(by) < _NOTHING_DB:
            return ""
        return f"{_db(by)} {'more' if by > 0 else 'less'}"

    @property
    def harm(self) -> str:
        return self.explanation.harm


@dataclass(frozen=True)
class Proposed:
    """best is None where nothing is proposed; `why_none` says why. withheld: what would do harm."""

    proposal: Proposal
    best: Way | None
    alternatives: tuple[Way, ...]
    withheld: tuple[Way, ...]

    @property
    def why_none(self) -> str:
        return self.proposal.sentence

    @property
    def is_rough(self) -> bool:
        return self.proposal.is_rough


def readable(control: Control, value: float) -> float:
    """As fine as a panel is read: a tenth of a decibel, else three figures; a stepped control stands on its mark."""
    value = float(value)
    if control.kind in DETENTED or not value:
        return value
    if control.unit.startswith("dB"):
        fine = round(value, 1)
    else:
        fine = round(value, 2 - math.floor(math.log10(abs(value))))
    marks = [mark["value"] for mark in control.marks]
    return min(max(fine, min(marks)), max(marks)) if marks else fine


def remains_in_words(remains: Remainder) -> str:
    """Within 0.2 dB everywhere; or what is left, and where."""
    worst = remains.worst_db
    if worst < _NOTHING_DB:
        return "nothing that can be told"
    if worst == abs(remains.level_db):
        return f"{_db(worst)} of level"
    if worst == abs(remains.response_db) and remains.response_hz:
        return f"{_db(worst)} at {format_value(float(f'{remains.response_hz:.2g}'), 'Hz')}"
    at = "" if remains.curve_level is None else f" at {level_text(remains.curve_level)}"
    return f"{_db(worst)} of reduction{at}"


def _db(by: float) -> str:
    return format_value(round(abs(by), 1), "dB", signed=False)
