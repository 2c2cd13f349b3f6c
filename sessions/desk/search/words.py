"""What was typed, taken apart once: words without case and accents, and digits."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from sessions.desk.search.phones import Digits, digits_of
from sessions.recall.finding.words import fold

folded = lru_cache(maxsize=32_768)(fold)  # the same names are compared with every letter typed


@dataclass(frozen=True)
class Typed:
    """`text` as it was typed, folded; a row is found that holds all its `words`."""

    text: str
    words: tuple[str, ...]
    phone: Digits | None

    @classmethod
    def of(cls, text: str) -> "Typed":
        words = fold(text).split()
        return cls(" ".join(words), tuple(words), digits_of(text.strip()))

    @property
    def numbers(self) -> list[int]:
        return [int(word) for word in self.words if word.isdecimal() and len(word) < 9]

    def is_in(self, *texts: object) -> bool:
        held = folded(" ".join(str(text) for text in texts if text))
        return all(word in held for word in self.words)

    def is_phone_of(self, *phones: str) -> bool:
        return self.phone is not None and any(map(self.phone.are_in, phones))

    def nearest_first(self, rows: Iterable, name: Callable[..., str] = str) -> list:
        """What is called just so, then what begins with it, then what has a word that does; each as it
        came, what is retired last of all."""
        return sorted(rows, key=lambda row: self._distance(row, folded(name(row))))

    def _distance(self, row, name: str) -> tuple[bool, int]:
        begins = [name == self.text, name.startswith(self.text), f" {self.text}" in f" {name}"]
        return getattr(row, "retired", False), next(
            (place for place, is_so in enumerate(begins) if is_so), len(begins)
        )
