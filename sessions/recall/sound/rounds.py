"""What a chain that was set up again does otherwise than it did, each time that it was measured."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.proving.comparing import Comparison, compare
from sessions.recall.sound.measured import Measured, as_measured


@dataclass(frozen=True)
class Round:
    """A measurement of the chain set up again, held against what it was; number counts those that were
    undone, too, so that none changes its name."""

    number: int
    measurement: object
    now: Measured
    comparison: Comparison


def rounds_of(then: Measured, measurements: Iterable, tolerance_db: float) -> tuple[Round, ...]:
    """Of full measurements of one rebuilt chain, up to where `then` was measured: those that are done, in the
    order in which they were."""
    done = [each for each in measurements if each.is_done and each.found]
    done.sort(key=lambda each: (each.measured_at, each.pk))
    return tuple(_round(number, then, each, tolerance_db) for number, each in enumerate(done, 1))


def _round(number: int, then: Measured, measurement, tolerance_db: float) -> Round:
    now = as_measured(measurement)
    return Round(number, measurement, now, compare(then.in_dbu, now.in_dbu, tolerance_db))
