"""Which stage of a chain feeds which."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.patchbay.wiring import Jack
from sessions.setups.models import Revision, Stage


@dataclass(frozen=True)
class Connection:
    """That one stage feeds another. Without a destination it feeds the chain's destination input."""

    source: Stage
    destination: Stage | None
    destination_input: str = ""

    @property
    def out_at(self) -> Jack | None:
        return self.source.facts.patch_out

    @property
    def in_at(self) -> Jack | None:
        return self.destination.facts.patch_in if self.destination else None


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
