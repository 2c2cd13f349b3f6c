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
        for form, likeness in self._spaced:
            if form in words:
                return likeness
        return 0


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
        # What may stand for a whole term, and the ways of several words that all have to be there.
        self._whole, self._joint = [], []
        for term, named, forms in zip(terms, refs, self.forms, strict=True):
            alone = [forms[way[0]] for way in term.ways if len(way) == 1]
            self._whole.append(_Meant(_likest(named, *alone)))
            joint = [[_Meant(forms[word]) for word in way] for way in term.ways if len(way) > 1]
            self._joint.append(joint)

    def match(self, rings: Sequence[Ring]) -> Match:
        return Match(tuple(self._best(n, rings) for n in range(len(self.terms))))

    def match_all(self, rings: Sequence[Ring]) -> Match | None:
        """None where a term is not held: the others are not looked for then."""
        by_term = []
        for n in range(len(self.terms)):
            best = self._best(n, rings)
            if not best:
                return None
            by_term.append(best)
        return Match(tuple(by_term))

    def only_missed(self, rings: Sequence[Ring]) -> int | None:
        """The number of the one term that is not held; None where that is none or several."""
        missed = None
        for n in range(len(self.terms)):
            if not self._best(n, rings):
                if missed is not None:
                    return None
                missed = n
        return missed

    def holds(self, own: Ring, *around: Ring) -> float:
        """How well something holds all the terms, one of them in its own words; 0 if it does not."""
        if not any(self.match([own]).by_term):
            return 0
        match = self.match_all([own, *around])
        return match.score if match else 0

    def meant(self, n: int, words: Collection[str]) -> Forms:
        """Which of the words the term stands for, each with its likeness."""
        forms = _likest(self.refs[n], *self.forms[n].values())
        return {word: forms[word] for word in forms.keys() & set(words)}

    def _best(self, n: int, rings: Sequence[Ring]) -> float:
        best, days = 0.0, self.terms[n].days
        for ring in rings:  # the weightiest comes first
            likeness = self._whole[n].likeness(ring.words)
            for way in self._joint[n]:
                likeness = max(likeness, min(meant.likeness(ring.words) for meant in way))
            if days and likeness < 1 and any(days.hold(_day(day)) for day in ring.days.split()):
                likeness = 1
            best = max(best, ring.weight * likeness)
            if likeness == 1:
                break
        return best


def _likest(*several: Forms) -> Forms:
    forms: Forms = {}
    for each in several:
        for form, likeness in each.items():
            forms[form] = max(likeness, forms.get(form, 0))
    return forms


@lru_cache(maxsize=20_000)
def _day(text: str) -> date:
    return date.fromisoformat(text)
