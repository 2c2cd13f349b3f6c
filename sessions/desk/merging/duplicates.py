"""Which clients, or which people, look like one and the same."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Model

from sessions.clients.likeness import likenesses


@dataclass(frozen=True)
class Pair:
    """Two that may be one, and what they have in common: "e-mail", "phone", "name"."""

    first: Model
    second: Model
    alike: tuple[str, ...]

    @property
    def alike_in_words(self) -> str:
        return "the same " + " and ".join(self.alike)


def pairs_of(things: Iterable[Model]) -> list[Pair]:
    """Each that is like an earlier one, with the earliest that it is like in that way. Who is retired
    is compared, too, but never with another who is."""
    groups = defaultdict(list)
    for thing in things:
        for likeness in likenesses(thing).items():
            groups[likeness].append(thing)
    alike = defaultdict(list)
    for (what, _), (first, *others) in groups.items():
        for other in others:
            if not (first.retired and other.retired):
                alike[first, other].append(what)
    return [Pair(*pair, tuple(what)) for pair, what in alike.items()]
