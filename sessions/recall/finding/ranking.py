"""Songs and sessions by likeness and date."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property

from django.db.models import Model, QuerySet

from sessions.recall.finding.likeness import Forms, Vocabulary
from sessions.recall.finding.matching import AROUND, OWN, WORK, Asked, Match, Ring
from sessions.recall.finding.models import SearchText, Sought
from sessions.recall.finding.terms import Term

_TEXTS = ("subject", "own", "work", "around", "days", "days_around")


@dataclass(frozen=True)
class Found:
    """The key of what was found. `last_day` is when it was last worked on, "" for never; `row` is
    its text as it was read."""

    key: int
    match: Match
    last_day: str
    row: tuple

    @property
    def rings(self) -> list[Ring]:
        return _rings(self.row)


class Texts:
    """The texts of those rows, read in one query: what is said of words that were sought in vain
    comes of what is visible only."""

    def __init__(self, kind: Sought, visible: QuerySet[Model]):
        texts = SearchText.objects.filter(kind=kind, subject__in=visible.order_by().values("pk"))
        self._rows = list(texts.values_list(*_TEXTS))

    @cached_property
    def vocabulary(self) -> Vocabulary:
        return Vocabulary(text for row in self._rows for text in row[1:4])

    def ranked(
        self, terms: Sequence[Term], refs: Sequence[Forms], known: Collection[str]
    ) -> "Ranked":
        asked = Asked(terms, refs, self.vocabulary, known)
        found = []
        for row in self._rows:
            rings = _rings(row)
            if match := asked.match_all(rings):
                found.append(Found(row[0], match, max(rings[1].days.split(), default=""), row))
        found.sort(key=lambda each: (each.match.score, each.last_day, -each.key), reverse=True)
        return Ranked(asked, found)

    def holding_all_but_one(self, asked: Asked) -> Counter[int]:
        """For each term the number of rows that hold all the others."""
        missed = (asked.only_missed(_rings(row)) for row in self._rows)
        return Counter(each for each in missed if each is not None)


@dataclass(frozen=True)
class Ranked:
    """What holds every term, the likest first."""

    asked: Asked
    found: list[Found]


def _rings(row: tuple) -> list[Ring]:
    _, own, work, around, days, days_around = row
    rings = [Ring(OWN, own), Ring(WORK, work, days)]
    return [*rings, Ring(AROUND, around, days_around)] if around or days_around else rings
