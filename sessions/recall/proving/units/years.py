"""What was measured of a unit over the years, each year against the first that was set alike."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sessions.recall.proving.models import Measurement
from sessions.recall.proving.page import words_of
from sessions.recall.proving.units.pairs import Pair


@dataclass(frozen=True)
class Year:
    """One measurement. since: against the first of the same channel, depth and settings; None of that itself,
    and of what isn't done or was undone."""

    measurement: Measurement
    since: Pair | None = None

    @property
    def in_short(self) -> str:
        words = words_of(self.measurement)
        return words.in_short if words else ""

    @property
    def state(self) -> str:
        measurement = self.measurement
        return "undone" if measurement.is_undone else measurement.get_state_display().lower()


def latest_of(years: Iterable[Year]) -> Year | None:
    """The newest that can be drawn, beside the first that was set as it is; years: the newest first."""
    drawn = (each for each in years if each.since and each.since.plots)
    return next(drawn, None)


def years_of(measurements: Iterable[Measurement], tolerance_db: float) -> list[Year]:
    """The newest first. measurements: of one unit."""
    return list(_years(measurements, tolerance_db))[::-1]


def _years(measurements: Iterable[Measurement], tolerance_db: float) -> Iterator[Year]:
    first: dict[tuple, Measurement] = {}
    for each in sorted(measurements, key=lambda one: (one.cautions_at, one.pk)):
        if not each.is_done or each.is_undone:
            yield Year(each)
            continue
        alike = (each.channel, each.depth, " ".join(each.note.split()).casefold())
        began = first.setdefault(alike, each)
        yield Year(each, None if began is each else Pair(began, each, tolerance_db))
