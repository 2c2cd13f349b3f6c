"""What somebody may have meant by a name that is none."""

from collections.abc import Collection
from difflib import get_close_matches

MOST_GUESSES = 20


class Guesses:
    """A guess reads all names: where very many are unknown, they were forgotten, not misspelt, so only
    the first of them are guessed at."""

    def __init__(self, names: Collection[str]):
        self._names = names
        self._meant: dict[str, str] = {}

    def meant(self, said: str) -> str:
        """A question with a blank before it; empty where nothing is like what was said."""
        if said not in self._meant:
            may_guess = len(self._meant) < MOST_GUESSES
            close = get_close_matches(said, self._names, 1) if may_guess else []
            self._meant[said] = f" Is it {close[0]}?" if close else ""
        return self._meant[said]
