"""A comp from the takes that may be used on each line: the fewest joins, or the best of each line.

A row is what may be used there: take to grade. A join stands between two neighbouring rows of
different takes; where a row has no take, none stands on either side of it.
"""

from collections.abc import Hashable, Mapping, Sequence
from itertools import pairwise

Row = Mapping[Hashable, float]


def fewest_joins(rows: Sequence[Row]) -> list[Hashable | None]:
    """The take of each row, None where there is none to use: no choice has fewer joins, and among
    those of as few none has a better sum of grades."""
    # Of each take that the row could end on: joins so far, less of grades so far, the way there.
    ways: dict[Hashable | None, tuple[int, float, list]] = {None: (0, 0.0, [])}
    for row in rows:
        ways = {
            take: min(
                (
                    (joins + _is_join(before, take), cost - grade, [*way, take])
                    for before, (joins, cost, way) in ways.items()
                ),
                key=lambda way: way[:2],
            )
            for take, grade in (row or {None: 0.0}).items()
        }
    return min(ways.values(), key=lambda way: way[:2])[2]


def best_of_each(rows: Sequence[Row]) -> list[Hashable | None]:
    """The best-graded take of each row; of equals the one before it, else the first."""
    chosen: list[Hashable | None] = []
    for row in rows:
        before = chosen[-1] if chosen else None
        chosen.append(max(row, key=lambda take: (row[take], take == before), default=None))
    return chosen


def count_joins(takes: Sequence[Hashable | None]) -> int:
    return sum(_is_join(*pair) for pair in pairwise(takes))


def _is_join(before: Hashable | None, after: Hashable | None) -> bool:
    return None not in (before, after) and before != after
