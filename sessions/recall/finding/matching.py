"""What holds everything that was asked for, and how well."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from sessions.recall.finding.likeness import Forms, forms_of
from sessions.recall.finding.terms import Term

OWN, WORK, AROUND = 3.0, 2.0, 1.0  # what a word counts: in a title, in what was done, beside it


@dataclass(frozen=True)
class Ring:
    """Words that stand equally near to something, and the days of ISO 8601 that they are of."""

    weight: float
    words: Collection[str]
    days: Sequence[str] = ()


@dataclass(frozen=True)
class Match:
    """By each term the weight of where it was found best; 0 where it was not."""

    by_term: tuple[float, ...]

    @property
    def score(self) -> float:
        return sum(self.by_term)

    @property
    def holds_all(self) -> bool:
        return all(self.by_term)


class Asked:
    """The terms, and what each means among some words. `refs` are, for each term, the references of
    people, units, rooms and projects that it names; of the words in `known`, no letter is wrong."""

    def __init__(
        self,
        terms: Sequence[Term],
        refs: Sequence[Forms],
        vocabulary: Collection[str],
        known: Collection[str],
    ):
        self.terms, self.refs = terms, refs
        self.forms = [
            {
                word: forms_of(word, vocabulary, forgiving=not term.words & known)
                for word in term.words
            }
            for term in terms
        ]
        # To pass over quickly what holds nothing of a term.
        self._any = [
            frozenset(ref).union(*forms.values())
            for ref, forms in zip(refs, self.forms, strict=True)
        ]

    def match(self, rings: Sequence[Ring]) -> Match:
        return Match(tuple(self._best(n, rings) for n in range(len(self.terms))))

    def holds(self, own: Ring, *around: Ring) -> float:
        """How well something holds all the terms, one of them in its own words; 0 if it does not."""
        if not any(self.match([own]).by_term):
            return 0
        match = self.match([own, *around])
        return match.score if match.holds_all else 0

    def meant(self, n: int, words: Collection[str]) -> dict[str, float]:
        """Which of the words the term stands for, each with its likeness."""
        held = self._any[n].intersection(words)
        forms = [self.refs[n], *self.forms[n].values()]
        return {word: max(form.get(word, 0) for form in forms) for word in held}

    def _best(self, n: int, rings: Iterable[Ring]) -> float:
        return max((ring.weight * self._likeness(n, ring) for ring in rings), default=0)

    def _likeness(self, n: int, ring: Ring) -> float:
        days = self.terms[n].days
        if days and any(days.hold(_day(day)) for day in ring.days):
            return 1
        held = self._any[n].intersection(ring.words)
        return self._in(n, held) if held else 0

    def _in(self, n: int, held: frozenset[str]) -> float:
        refs, forms = self.refs[n], self.forms[n]
        likeness = max((refs[ref] for ref in held & refs.keys()), default=0.0)
        for way in self.terms[n].ways:
            found = (max((forms[w][f] for f in held & forms[w].keys()), default=0.0) for w in way)
            likeness = max(likeness, min(found))
        return likeness


@lru_cache(maxsize=20_000)
def _day(text: str) -> date:
    return date.fromisoformat(text)


def vocabulary_of(sets: Iterable[Collection[str]]) -> list[str]:
    """All their words, without references."""
    words = set().union(*sets)
    return sorted(word for word in words if not word.startswith("#"))
