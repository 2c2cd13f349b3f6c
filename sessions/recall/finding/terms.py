"""What was typed, as terms that each have to be found: a word, a month or a stretch of time."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sessions.recall.finding.days import Days, read_days
from sessions.recall.finding.words import fold, pieces

MOST_TERMS = 8
SHORT = 3  # letters of a word that is no plural
# That tell nothing apart; they count only where nothing else was typed.
SMALL_WORDS = frozenset(
    [
        "a",
        "an",
        "and",
        "at",
        "by",
        "for",
        "from",
        "in",
        "of",
        "on",
        "or",
        "the",
        "to",
        "was",
        "with",
    ]
)
#: What a thing is also called at work (common practice, no source), by what our records call it.
ALSO_CALLED = {
    "tube": "valve",
    "mike": "microphone",
    "dynamic": "moving",
    "singer": "vocalist",
    "cans": "headphone",
    "desk": "console",
}


@dataclass(frozen=True)
class Term:
    """Something that was typed. `ways` are those in which it may stand in a text, each of words that
    all have to stand there; `days` is the time that it may mean instead."""

    typed: str
    ways: tuple[tuple[str, ...], ...]
    days: Days | None = None

    @property
    def words(self) -> set[str]:
        return {word for way in self.ways for word in way}


def read_terms(text: str, today: date) -> list[Term]:
    terms = list(_terms(text.split(), today))
    telling = [term for term in terms if fold(term.typed) not in SMALL_WORDS]
    return (telling or terms)[:MOST_TERMS]


def _terms(typed: list[str], today: date) -> Iterator[Term]:
    folded = [fold(word).strip(".,;:!?") for word in typed]
    at = 0
    while at < len(typed):
        days, used = read_days(folded[at:], today) or (None, 1)
        words = typed[at : at + used]
        if ways := _ways(folded[at : at + used]):
            yield Term(" ".join(words), ways, days)
        at += used


def _ways(words: list[str]) -> tuple[tuple[str, ...], ...]:
    """mr-02 as mr02, or as mr and 02; nov 2026 as nov and 2026."""
    parts = [part for word in words for part in pieces(word)]
    if not parts:
        return ()
    if len(words) == 1 and len(parts) > 1:
        return ("".join(parts),), tuple(parts)
    if len(parts) > 1:
        return (tuple(parts),)
    (word,) = parts
    others = [word[:-1]] if len(word) > SHORT and word.endswith("s") else []  # mics, drums
    others += [ALSO_CALLED[each] for each in (word, *others) if each in ALSO_CALLED]
    return ((word,), *((other,) for other in others))
