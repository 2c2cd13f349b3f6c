"""Whether a line of a list may mean somebody who is here already under another name."""

from collections.abc import Iterable

from django.db.models import Model

from sessions.clients.likeness import likenesses


class Twins:
    """Knows by what the things of a list are recognised, those of earlier lines too."""

    def __init__(self, things: Iterable[Model]):
        self.known: dict[tuple[str, str], Model] = {}
        for thing in things:
            self.add(thing)

    def add(self, thing: Model) -> None:
        for likeness in likenesses(thing).items():
            self.known.setdefault(likeness, thing)

    def notice(self, thing: Model) -> str:
        """In words, whom a new one is like; empty where it is like nobody."""
        for what, key in likenesses(thing).items():
            if twin := self.known.get((what, key)):
                return f"The same {what} as {twin}: merge them afterwards if they are one."
        return ""
