"""What was measured of the chains of a rebuild, then and now; in a constant number of queries."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, partial

from django.db.models import prefetch_related_objects

from sessions.recall.imported.shown.things import moment
from sessions.recall.models import Rebuild
from sessions.recall.proving.feeding import digest_through
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist
from sessions.recall.sound.data import measured_of as measured_of_data
from sessions.recall.sound.measured import Measured, measured_of_revision
from sessions.recall.then_and_now.points import Point, Search, points_of, search


@dataclass(frozen=True)
class ChainSound:
    """then: what was measured while it was recorded; waiting: measurements of today that have not ended."""

    checklist: ChainChecklist
    then: tuple[Measured, ...]
    points: tuple[Point, ...]
    waiting: tuple[Measurement, ...]

    @property
    def number(self) -> int:
        return self.checklist.wanted.number

    @property
    def whole(self) -> Point:
        """Up to the converter."""
        return self.points[-1]

    @cached_property
    def search(self) -> Search:
        return search(self.checklist, self.points)

    def at(self, up_to: int | None) -> Point | None:
        return next((point for point in self.points if point.up_to == up_to), None)


def sounds_of(checklist: Checklist, tolerance_db: float) -> list[ChainSound]:
    """Of each chain of the rebuild, in order."""
    then = _then(checklist.rebuild, checklist.chains)
    now = defaultdict(list)
    for each in _measurements(checklist.rebuild):
        now[each.chain_number].append(each)
    return [
        _sound(chain, then[chain.wanted.number], now[chain.wanted.number], tolerance_db)
        for chain in checklist.chains
    ]


def _sound(chain, then, measurements, tolerance_db) -> ChainSound:
    points = points_of(chain, then, measurements, tolerance_db)
    waiting = [each for each in measurements if not (each.is_done or each.is_undone)]
    return ChainSound(chain, then, tuple(points), tuple(waiting))


def _measurements(rebuild: Rebuild) -> Iterable[Measurement]:
    return rebuild.measurements.full().select_related("measured_by", "undone_by").order_by("pk")


def _then(rebuild: Rebuild, chains: Iterable[ChainChecklist]) -> dict[int, tuple[Measured, ...]]:
    if rebuild.imported_id:
        data = {chain["place"]: chain for chain in rebuild.imported.data["chains"]}
        numbers = (chain.wanted.number for chain in chains)
        return {
            number: measured_of_data(data[number].get("measurements", {}), moment)
            for number in numbers
        }
    revisions = {chain.wanted.number: chain.wanted.revision for chain in chains}
    prefetch_related_objects(list(revisions.values()), "measurements__measured_by")
    return {
        number: measured_of_revision(revision, partial(digest_through, revision))
        for number, revision in revisions.items()
    }
