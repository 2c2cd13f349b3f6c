"""What holds everything that was asked for, and how well."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from sessions.recall.finding.likeness import Forms, Vocabulary, forms_of
from sessions.recall.finding.terms import Term

OWN, WORK, AROUND = 3.0, 2.0, 1.0  # what a word counts: in a title, in what was done, beside it
FEW = 12  # forms, that are sooner looked for one by one


def text_of(words: Collection[str]) -> str:
    """Each between spaces, as search texts have them."""
    return f" {' '.join(words)} "


@dataclass(frozen=True)
class Ring:
    """Words that stand equally near to something, each between spaces, and the days that they are
    of, as ISO 8601 writes them."""

    weight: float
    words: str
    days: str = ""


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


class _Meant:
    """What one word stands for."""

    def __init__(self, forms: Forms):
        self.forms = forms
        likest = sorted(forms, key=lambda form: -forms[form])
        self._spaced = [(f" {form} ", forms[form]) for form in likest]

    def likeness(self, words: str) -> float:
        """Of the likest form that stands there; 0 for none."""
        if len(self._spaced) > FEW:
            held = self.forms.keys() & set(words.split())
            return max((self.forms[form] for form in held), default=0)
        return next((likeness for form, likeness in self._spaced if form in words), 0)


class Asked:
    """The terms, and what each means among some words. `refs` are, for each term, the references of
    people, units, rooms and projects that it names; of the words in `known`, no letter is wrong."""

    def __init__(
        self,
        terms: Sequence[Term],
        refs: Sequence[Forms],
        vocabulary: Vocabulary,
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
        #: Of each term, its ways: of each, what its words mean, all of which have to be there.
        self._ways = [
            [[_Meant(named)], *([_Meant(forms[word]) for word in way] for way in term.ways)]
            for term, named, forms in zip(terms, refs, self.forms, strict=True)
        ]

    def match(self, rings: Sequence[Ring]) -> Match:
        return Match(tuple(self._best(n, rings) for n in range(len(self.terms))))

    def holds(self, own: Ring, *around: Ring) -> float:
        """How well something holds all the terms, one of them in its own words; 0 if it does not."""
        if not any(self.match([own]).by_term):
            return 0
        match = self.match([own, *around])
        return match.score if match.holds_all else 0

    def meant(self, n: int, words: Collection[str]) -> Forms:
        """Which of the words the term stands for, each with its likeness."""
        forms = [self.refs[n], *self.forms[n].values()]
        held = set().union(*forms).intersection(words)
        return {word: max(form.get(word, 0) for form in forms) for word in held}

    def _best(self, n: int, rings: Sequence[Ring]) -> float:
        return max((ring.weight * self._likeness(n, ring) for ring in rings), default=0)

    def _likeness(self, n: int, ring: Ring) -> float:
        days = self.terms[n].days
        if days and ring.days and any(days.hold(_day(day)) for day in ring.days.split()):
            return 1
        words = ring.words
        return max(min(meant.likeness(words) for meant in way) for way in self._ways[n])


@lru_cache(maxsize=20_000)
def _day(text: str) -> date:
    return date.fromisoformat(text)
