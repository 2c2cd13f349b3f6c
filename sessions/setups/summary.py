"""What a revision says in short: its path in words, its connections, how much of it is logged.

All of it reads a revision loaded `with_stages`, and then costs no query.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.values import format_value
from gear.patchbay.models import PatchPoint
from sessions.setups.models import Revision, Stage

ARROW = " → "


def path_in_words(revision: Revision) -> str:
    """From source to track: Alto voice → Petrel A (HL-0001) → … → Ld Vox."""
    return ARROW.join(
        [revision.chain.source, *map(_stage_in_words, revision.stages.all()), revision.chain.track]
    )


def _stage_in_words(stage: Stage) -> str:
    return f"{stage.unit}" if stage.is_printed else f"{stage.unit}, monitor only"


@dataclass(frozen=True)
class Connection:
    """That one stage feeds another. Without a destination it feeds the chain's destination input."""

    source: Stage
    destination: Stage | None
    destination_input: str = ""

    @property
    def out_at(self) -> PatchPoint | None:
        return self.source.patch_out

    @property
    def in_at(self) -> PatchPoint | None:
        return self.destination.patch_in if self.destination else None


def connections(revision: Revision) -> list[Connection]:
    """Which stage feeds which, in signal order, and last what the destination input is fed from.

    A printed stage is fed by the printed stage before it, since what is monitor only stands beside
    the recorded path; a monitor-only stage is fed by whatever stands before it.
    """
    return connect(revision.stages.all(), revision.chain.destination_input)


def connect(stages: Iterable[Stage], destination_input: str) -> list[Connection]:
    """The same of stages in signal order, of whatever chain."""
    found, before, printed_before = [], None, None
    for stage in stages:
        feeder = printed_before if stage.is_printed else before
        if feeder:
            found.append(Connection(feeder, stage))
        before = stage
        if stage.is_printed:
            printed_before = stage
    if printed_before and destination_input:
        found.append(Connection(printed_before, None, destination_input))
    return found


@dataclass(frozen=True)
class Completeness:
    """How many of the chain's controls were logged."""

    logged: int
    total: int

    @property
    def per_cent(self) -> int | None:
        """Rounded down, so that 100 means all of them; None where there is nothing to log."""
        return 100 * self.logged // self.total if self.total else None

    def __str__(self) -> str:
        if self.total == 0:
            return "no controls to log"
        return f"{self.logged} of {self.total} controls logged, {self.per_cent} %"


def completeness(revision: Revision) -> Completeness:
    settings = [
        stage.setting(control) for stage in revision.stages.all() for control in stage.controls()
    ]
    return Completeness(sum(value is not None for value in settings), len(settings))


def number_text(value, unit: str) -> str:
    """A stored figure with its unit, without zeros to spare; empty where there is none."""
    if value is None:
        return ""
    return format_value(float(value), unit, signed=unit == "dBu").replace(" °", "°")
