"""Rows whose texts hold every word that was asked for.

Words are looked for as parts of words, the same on SQLite and PostgreSQL. People remember tags,
track names and half a title (M-01, Ld V, slow), which a stemming index drops or changes, and
SQLite's needs tables of its own kept by triggers. A studio's rows are thousands: read in passing.
"""

from collections.abc import Callable, Iterable

from django.db.models import Q, QuerySet

MOST_WORDS = 8

Matches = Callable[[str], Q]


def words_of(text: str) -> list[str]:
    return text.split()[:MOST_WORDS]


def spellings(word: str) -> set[str]:
    """The ways in which a word may be written; SQLite knows the case of plain letters only."""
    forms = {word}
    if "'" in word or "’" in word:
        forms |= {word.replace("'", "’"), word.replace("’", "'")}
    for form in set(forms):
        if not form.isascii():
            forms |= {form.lower(), form.upper(), form.capitalize()}
    return forms


def in_fields(*fields: str) -> Matches:
    """That one of the fields holds the word."""

    def matches(word: str) -> Q:
        found = Q(pk__in=[])
        for field in fields:
            for spelling in spellings(word):
                found |= Q(**{f"{field}__icontains": spelling})
        return found

    return matches


def holding(rows: QuerySet, words: Iterable[str], *, own: Matches, around: Matches) -> QuerySet:
    """Rows that hold every word in their own facts or in those around them, and one in their own.

    So “slow fiddle” finds the part Fiddle of the song, and “slow” alone not all the song's parts.
    """
    own_word = Q()
    for word in words:
        rows = rows.filter(own(word) | around(word))
        own_word |= own(word)
    return rows.filter(own_word)
