"""What a file calls a client, a project or a song, cleaned for our own fields; and what is alike here."""

import unicodedata
from collections.abc import Iterable
from difflib import SequenceMatcher
from typing import TypeVar

Thing = TypeVar("Thing")  # known by its name, which str() gives
ALIKE = 0.8  # of the letters, in order: one word misspelt, an ending, an accent


def cleaned(text: str, most: int) -> str:
    """In one line, cut to what there is room for, without signs that only steer how text is set."""
    printed = "".join(" " if unicodedata.category(sign) in ("Cc", "Cf") else sign for sign in text)
    return " ".join(printed[: most * 4].split())[:most].rstrip()


def cut_note(text: str, most: int) -> str:
    """What stands beside a field that had to be cut; else empty."""
    if len(text.strip()) <= most:
        return ""
    return f"Cut to {most} letters: in the file it has {len(text.strip())}."


def same(name: str, things: Iterable[Thing]) -> Thing | None:
    """The one with this name, whatever its case and accents."""
    return next((thing for thing in things if _plain(f"{thing}") == _plain(name)), None)


def alike(name: str, things: Iterable[Thing]) -> list[Thing]:
    """Those whose names may mean the same, the most alike first, at most three."""
    if not name:
        return []
    found = [(_likeness(name, f"{thing}"), thing) for thing in things]
    near = [(likeness, thing) for likeness, thing in found if likeness >= ALIKE]
    return [thing for _, thing in sorted(near, key=lambda each: -each[0])][:3]


def _likeness(one: str, other: str) -> float:
    return SequenceMatcher(None, _plain(one), _plain(other)).ratio()


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text.casefold())
    return " ".join("".join(each for each in letters if not unicodedata.combining(each)).split())
