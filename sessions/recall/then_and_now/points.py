"""Where along a rebuilt chain its sound can be measured, what each says, and where to measure next."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from gear.audio.proving.halving import Halving, halve
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.sound.measured import Measured
from sessions.recall.sound.rounds import Round, rounds_of
from sessions.setups.levels.tone import takes_tone

THE_CONVERTER = "the converter, with the whole chain"


@dataclass(frozen=True)
class Point:
    """The output of a unit at a bay, or the converter, where up_to is None. then: what was measured up to there
    when it was recorded, None where nothing was; rounds: what has been since, the oldest first. set_since:
    the unit before it, of which something was set, or which was chosen, after the newest of them."""

    up_to: int | None
    words: str
    then: Measured | None
    rounds: tuple[Round, ...] = ()
    set_since: StageLine | None = None

    def reaches(self, line: StageLine) -> bool:
        """Whether what is measured up to here goes through that unit."""
        return self.up_to is None or line.wanted.position <= self.up_to

    @property
    def newest(self) -> Round | None:
        """The last that was not undone."""
        standing = (each for each in reversed(self.rounds) if not each.measurement.is_undone)
        return next(standing, None)

    @property
    def agrees(self) -> bool | None:
        """None where nothing can be said of the chain as it stands."""
        if self.newest is None or self.set_since:
            return None
        return self.newest.comparison.agrees


@dataclass(frozen=True)
class Search:
    """The points that can be compared, in signal order, and what halving says of them. is_unmeasured: there are
    points between the suspects, up to which nothing was measured while it was recorded."""

    points: tuple[Point, ...]
    halving: Halving
    suspects: tuple[StageLine, ...]
    is_unmeasured: bool = False

    @property
    def to_measure(self) -> Point | None:
        place = self.halving.to_measure
        return None if place is None else self.points[place]

    @property
    def is_found(self) -> bool:
        return self.halving.is_found and bool(self.suspects)


def points_of(
    chain: ChainChecklist, then: Iterable[Measured], measurements: Iterable, tolerance_db: float
) -> list[Point]:
    """In signal order, the converter last. measurements: the full ones of this chain of the rebuild."""
    known = {each.through: each for each in then if each.is_full}
    by_point = defaultdict(list)
    for each in measurements:
        by_point[each.up_to].append(each)
    units = through(chain)
    points = [(line.wanted.position, _words(line)) for line in units[:-1] if line.patch_out]
    found = []
    for up_to, words in [*points, (None, THE_CONVERTER)]:
        before = known.get(up_to)
        rounds = rounds_of(before, by_point[up_to], tolerance_db) if before else ()
        point = Point(up_to, words, before, rounds)
        newest = point.newest and point.newest.measurement
        since = set_since(filter(point.reaches, units), newest)
        found.append(replace(point, set_since=since))
    return found


def search(chain: ChainChecklist, points: Sequence[Point]) -> Search:
    comparable = tuple(point for point in points if point.then)
    found = halve([point.agrees for point in comparable])
    if found.departs is None:
        return Search(comparable, found, ())
    first = 0 if found.agrees is None else comparable[found.agrees].up_to
    last = comparable[found.departs].up_to
    suspects = [
        line
        for line in through(chain)
        if line.wanted.position > first and (last is None or line.wanted.position <= last)
    ]
    between = [line.wanted.position for line in suspects[:-1]]
    is_unmeasured = any(not point.then and point.up_to in between for point in points)
    return Search(comparable, found, tuple(suspects), is_unmeasured)


def through(chain: ChainChecklist) -> list[StageLine]:
    """The printed units that the file goes through."""
    printed = [line for line in chain.in_use if line.wanted.is_printed]
    taking = (n for n, line in enumerate(printed) if takes_tone(line.wanted.category))
    return printed[next(taking, len(printed)) :]


def _words(line: StageLine) -> str:
    return f"{line.unit_in_words}, out at {line.patch_out}"


def set_since(lines: Iterable[StageLine], measurement: Measurement | None) -> StageLine | None:
    """The first of those units of which something was set, or which was chosen, after the measurement."""
    if measurement is None:
        return None
    changed = (line for line in lines if line.read_now.changed_at)
    return next(
        (line for line in changed if line.read_now.changed_at > measurement.measured_at), None
    )
