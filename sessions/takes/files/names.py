"""What a file's name says: words, however they are joined, a take's number, the project's naming."""

import re
import unicodedata
from typing import NamedTuple

LABELS = {"take", "tk", "t"}
LONGEST_PHRASE = 8  # words
MEANINGS = {
    "song": {"song", "title"},
    "part": {"part", "track", "source", "instrument", "voice"},
    "take": {"take"},
}


def words_in(text: str) -> list[str]:
    """`SlowTheLantern_LdVox_T07` is slow, the, lantern, ld, vox, t, 7."""
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    found = re.findall(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|\d+|[^\W\d_a-zA-Z]+", plain)
    return [word.casefold().lstrip("0") or "0" for word in found]


def joined(text: str) -> str:
    """To be looked up among `phrases_in` another text."""
    return "".join(words_in(text))


def phrases_in(text: str) -> set[str]:
    """Every run of its words, joined."""
    words = words_in(text)
    return {
        "".join(words[start:end])
        for start in range(len(words))
        for end in range(start + 1, min(start + LONGEST_PHRASE, len(words)) + 1)
    }


class NumberSaid(NamedTuple):
    number: int
    is_labelled: bool


def take_number(stem: str) -> NumberSaid | None:
    """`T07`, `Take 7`, `tk7`; else a number at the end, which may mean something else, but not where
    it ends a date or a time."""
    words = words_in(stem)
    for label, number in zip(words, words[1:], strict=False):
        if label in LABELS and _is_number(number):
            return NumberSaid(int(number), True)
    *before, last = words or [""]
    is_of_a_time = bool(before) and before[-1].isdecimal()  # 2026-06-01, 14-03-05
    return NumberSaid(int(last), False) if _is_number(last) and not is_of_a_time else None


def _is_number(word: str) -> bool:
    return word.isascii() and word.isdecimal() and len(word) <= 4


def by_naming(stem: str, naming: str) -> dict[str, str]:
    """What the fields of the project's naming (`WF_{song}_{part}_{take}`) are in this name: song, part,
    take, as far as the naming has them. Empty where the name is not made that way."""
    separator = next((sign for sign in "_-. " if sign in naming), "")
    if not separator:
        return {}
    fields, values = naming.split(separator), stem.split(separator)
    if len(fields) != len(values):
        return {}
    found = {}
    for field, value in zip(fields, values, strict=True):
        words = set(words_in(field))
        found |= {meaning: value for meaning, named in MEANINGS.items() if words & named}
    return found
