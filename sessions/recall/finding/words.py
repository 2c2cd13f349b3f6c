"""Words as they are compared: without case, accents and apostrophes, so that “Übermut” is “ubermut”."""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache

# Letters of the Latin script that Unicode takes no accent off.
_STROKES = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"}
)
_APOSTROPHES = re.compile("['’‘ʼ`´]")
_IN_A_CAMELS_BACK = re.compile(r"(?<=[a-z])(?=[A-Z])")  # NeapAndSpring, of a file’s name
_PIECES = re.compile(r"[^\W_]+")


def fold(text: str) -> str:
    bare = unicodedata.normalize("NFKD", _APOSTROPHES.sub("", text)).casefold()
    return "".join(c for c in bare if not unicodedata.combining(c)).translate(_STROKES)


def pieces(word: str) -> list[str]:
    """What a folded word is made of: mr and 02, of mr-02."""
    return _PIECES.findall(word)


def words_of(text: str) -> Iterator[str]:
    """All that may be typed of a text: each word, and of one that has pieces each of those and them
    together (mr, 02 and mr02)."""
    for written in str(text).split():
        parts = pieces(fold(" ".join(_IN_A_CAMELS_BACK.split(written))))
        yield from parts
        if len(parts) > 1:
            yield "".join(parts)


def words_of_all(texts: Iterable[object]) -> set[str]:
    """Those of every text that is one; of None and nothing, none."""
    return set().union(*(_words_in(str(text)) for text in texts if text))


@lru_cache(maxsize=16_384)  # names are taken apart again with every search
def _words_in(text: str) -> frozenset[str]:
    return frozenset(words_of(text))
