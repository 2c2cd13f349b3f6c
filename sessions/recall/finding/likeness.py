"""How like a word that was typed is to those that there are."""

from collections.abc import Collection

from rapidfuzz import process
from rapidfuzz.distance import OSA

SAME, BEGINS, ONE_WRONG, WITHIN = 1.0, 0.85, 0.7, 0.4
LETTERS_TO_FORGIVE = 4  # of shorter words too many are one letter from each other
LETTERS_WITHIN = 4

Forms = dict[str, float]


def forms_of(word: str, vocabulary: Collection[str], *, forgiving: bool = True) -> Forms:
    """The words that it may stand for, each with its likeness: itself, what it begins, what has it
    within, and, `forgiving`, what is one letter from it (one more, less or other, or two neighbours
    swapped).

    A figure is right or it is another one: 17 is not 1700, MR-01 not MR-02.
    """
    forms: Forms = {}
    if any(c.isdecimal() for c in word):
        if not word.isdecimal():
            forms = {each: BEGINS for each in vocabulary if each.startswith(word)}
        return forms | ({word: SAME} if word in vocabulary else {})
    if len(word) > 1 or not word.isascii():
        within = len(word) >= LETTERS_WITHIN or not word.isascii()
        for each in vocabulary:
            if word in each:
                if each.startswith(word):
                    forms[each] = BEGINS
                elif within:
                    forms[each] = WITHIN
    if forgiving and len(word) >= LETTERS_TO_FORGIVE:
        near = process.extract(
            word, vocabulary, scorer=OSA.distance, score_cutoff=1, limit=None, processor=None
        )
        for each, distance, _ in near:
            if distance and not any(c.isdecimal() for c in each):
                forms[each] = max(forms.get(each, 0), ONE_WRONG)
    if word in vocabulary:
        forms[word] = SAME
    return forms
