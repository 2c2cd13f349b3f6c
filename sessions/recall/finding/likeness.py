"""How like a word that was typed is to those that there are."""

from collections.abc import Iterable
from functools import cached_property

from rapidfuzz import process
from rapidfuzz.distance import OSA

SAME, BEGINS, ONE_WRONG, WITHIN = 1.0, 0.85, 0.7, 0.4
LETTERS_TO_FORGIVE = 4  # of shorter words too many are one letter from each other
LETTERS_WITHIN = 4

Forms = dict[str, float]


class Vocabulary:
    """The words of some texts, each of words between spaces. References (#u17) are no words."""

    def __init__(self, texts: Iterable[str]):
        self._text = f" {' '.join(texts)} "

    @cached_property
    def words(self) -> list[str]:
        """Each once. It takes a while for very many texts: only what is misspelt needs it."""
        return [word for word in set(self._text.split()) if not word.startswith("#")]

    def __contains__(self, word: str) -> bool:
        return f" {word} " in self._text

    def holding(self, piece: str) -> set[str]:
        """The words that have it in them or, if it starts with a space, begin with it."""
        found, at = set(), self._text.find(piece)
        while at >= 0:
            end = self._text.find(" ", at + 1)
            found.add(self._text[self._text.rfind(" ", 0, at + 1) + 1 : end])
            at = self._text.find(piece, end)
        return found


def forms_of(word: str, vocabulary: Vocabulary, *, forgiving: bool = True) -> Forms:
    """The words that it may stand for, each with its likeness: itself, what it begins, what has it
    within, and, `forgiving`, what is one letter from it (one more, less or other, or two neighbours
    swapped).

    A figure is right or it is another one: 17 is not 1700, MR-01 not MR-02.
    """
    has_figures = any(c.isdecimal() for c in word)
    forms: Forms = {}
    if forgiving and not has_figures and len(word) >= LETTERS_TO_FORGIVE:
        near = process.extract(
            word, vocabulary.words, scorer=OSA.distance, score_cutoff=1, limit=None, processor=None
        )
        forms = {each: ONE_WRONG for each, *_ in near if not any(c.isdecimal() for c in each)}
    if not word.isdecimal() and (len(word) > 1 or not word.isascii()):
        within = not has_figures and (len(word) >= LETTERS_WITHIN or not word.isascii())
        for each in vocabulary.holding(word if within else f" {word}"):
            if each.startswith(word):
                forms[each] = BEGINS
            elif each not in forms and not each.startswith("#"):
                forms[each] = WITHIN
    return forms | ({word: SAME} if word in vocabulary else {})
