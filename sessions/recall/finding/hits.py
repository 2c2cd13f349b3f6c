"""What is shown of what was found."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from django.utils import timezone
from django.utils.formats import date_format

from sessions.recall.finding.entities import Entities
from sessions.recall.finding.matching import Asked, Ring

MOST_HITS = 10  # of each kind; whoever finds more types another word
MOST_NAMES = 2  # that are given as the reason for one term


@dataclass(frozen=True)
class Hit:
    """`why` says what the terms were found as, where that is not what was typed."""

    title: str
    detail: str
    address: str
    why: tuple[str, ...] = field(default=())


@dataclass(frozen=True)
class Group:
    name: str
    hits: tuple[Hit, ...]
    more: bool = False

    @classmethod
    def of(cls, name: str, hits: Sequence[Hit], *, most: int = MOST_HITS) -> "Group":
        return cls(name, tuple(hits[:most]), len(hits) > most)


def joined(*facts: object) -> str:
    return " · ".join(str(fact) for fact in facts if fact)


def day_of(moment) -> str:
    return date_format(timezone.localtime(moment))


def reasons(asked: Asked, rings: Iterable[Ring], entities: Entities) -> tuple[str, ...]:
    """ribbon: Ullage Works Tierce (MR-01); nov: Fri 20 Nov 2026."""
    rings = list(rings)
    words = [word for ring in rings for word in ring.words.split()]
    days = [day for ring in rings for day in ring.days.split()]
    said = []
    for n, term in enumerate(asked.terms):
        meant = asked.meant(n, words)
        if any(word in meant for way in term.ways for word in way):
            names = []
        else:
            names = _names(meant, entities)
        if term.days and not names:
            held = [
                date.fromisoformat(day) for day in days if term.days.hold(date.fromisoformat(day))
            ]
            names = [date_format(max(held))] if held else []
        if names:
            said.append(f"{term.typed}: {', '.join(names)}")
    return tuple(said)


def _names(meant: dict[str, float], entities: Entities) -> list[str]:
    best = sorted(meant, key=lambda word: (-meant[word], word))
    named = [str(entities.by_ref[word]) if word.startswith("#") else f"“{word}”" for word in best]
    return named[:MOST_NAMES]
