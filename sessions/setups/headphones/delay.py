"""How late performers hear themselves: buffer, converters and the way through the air."""

from dataclasses import dataclass

from gear.audio.delay import (
    BUFFER_SIZES,
    DelayVerdict,
    air_path_ms,
    buffer_verdict,
    headphone_delay_ms,
    largest_buffer_under,
    samples_to_ms,
)
from gear.equipment.models import Category
from sessions.setups.models import Revision, Setup


@dataclass(frozen=True)
class AirPath:
    """From a chain's source to its microphone; None in ms where nobody measured it."""

    revision: Revision
    distance_cm: float | None
    ms: float | None


@dataclass(frozen=True)
class BufferRow:
    """What one size of buffer comes to, from the nearest microphone to the headphone."""

    samples: int
    one_way_ms: float
    total_ms: float
    verdict: DelayVerdict
    is_ours: bool


@dataclass(frozen=True)
class Delay:
    """A setup's delay. converter_basis says where converter_samples come from.

    The nearest microphone counts for the air: it is what a performer hears first, and loudest. A room
    microphone is meant to be late.
    """

    sample_rate: int
    converter_samples: int
    converter_basis: str
    air: tuple[AirPath, ...]
    rows: tuple[BufferRow, ...]

    @property
    def converter_ms(self) -> float:
        return samples_to_ms(self.converter_samples, self.sample_rate)

    @property
    def ours(self) -> BufferRow | None:
        """The setup's own buffer; None where it is not logged."""
        return next((row for row in self.rows if row.is_ours), None)

    @property
    def nearest(self) -> AirPath | None:
        return _nearest(self.air)

    @property
    def farthest(self) -> AirPath | None:
        """None where it is no farther than the nearest."""
        last = max(_measured(self.air), key=lambda path: path.ms, default=None)
        return last if last and last.ms > self.nearest.ms else None

    @property
    def farthest_later_ms(self) -> float | None:
        return self.farthest.ms - self.nearest.ms if self.farthest else None

    def largest_under(self, limit_ms: float) -> int | None:
        return largest_buffer_under(
            limit_ms, self.sample_rate, self.converter_samples, _metres(self.nearest)
        )


def delay_of(setup: Setup, revisions: list[Revision]) -> Delay:
    """`revisions` are the newest of its chains, loaded `with_stages`. Costs no query."""
    rate = setup.session.project.sample_rate
    samples, basis = converters_of(setup, revisions)
    air = tuple(_air_path(revision) for revision in revisions)
    sizes = sorted({*BUFFER_SIZES, *([setup.buffer_samples] if setup.buffer_samples else [])})
    nearest_m = _metres(_nearest(air))
    rows = tuple(_row(size, setup, rate, samples, nearest_m) for size in sizes)
    return Delay(rate, samples, basis, air, rows)


def converters_of(setup: Setup, revisions: list[Revision]) -> tuple[int, str]:
    """Delay of the converters, in and out together, and where the figure comes from."""
    if setup.converter_samples is not None:
        return setup.converter_samples, "as logged for this setup"
    units = {
        stage.unit
        for revision in revisions
        for stage in revision.stages.all()
        if stage.unit.model.category == Category.CONVERTER
    }
    known = [unit for unit in units if unit.model.delay_samples is not None]
    if not known:
        return 0, "not known, so not counted"
    slowest = max(known, key=lambda unit: (unit.model.delay_samples, unit.asset_tag))
    return slowest.model.delay_samples, f"as the maker of {slowest} states it"


def _row(size: int, setup: Setup, rate: int, converters: int, nearest_m: float) -> BufferRow:
    return BufferRow(
        samples=size,
        one_way_ms=samples_to_ms(size, rate),
        total_ms=headphone_delay_ms(size, rate, converters, nearest_m),
        verdict=buffer_verdict(size, rate, converters, nearest_m),
        is_ours=size == setup.buffer_samples,
    )


def _air_path(revision: Revision) -> AirPath:
    placement = getattr(revision, "placement", None)
    if placement is None or placement.distance_cm is None:
        return AirPath(revision, None, None)
    distance = float(placement.distance_cm)
    return AirPath(revision, distance, air_path_ms(distance / 100))


def _measured(air: tuple[AirPath, ...]) -> list[AirPath]:
    return [path for path in air if path.ms is not None]


def _nearest(air: tuple[AirPath, ...]) -> AirPath | None:
    return min(_measured(air), key=lambda path: path.ms, default=None)


def _metres(path: AirPath | None) -> float:
    return path.distance_cm / 100 if path else 0.0
