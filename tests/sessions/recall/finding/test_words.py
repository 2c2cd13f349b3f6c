"""How words are folded and compared."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.recall.finding.likeness import BEGINS, ONE_WRONG, SAME, WITHIN, Vocabulary, forms_of
from sessions.recall.finding.terms import read_terms
from sessions.recall.finding.words import fold, words_of
from tests.sessions.recall.finding.test_days import TODAY


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Übermut", "ubermut"),
        ("CLERK’S", "clerks"),
        ("Straße", "strasse"),
        ("Łódź", "lodz"),
        ("Sørlandet", "sorlandet"),
        ("e\u0301tude", "etude"),
        ("ﬁddle", "fiddle"),
    ],
)
def test_fold(text, folded):
    assert fold(text) == folded


@given(st.text())
def test_folded_is_folded_for_good(text):
    assert fold(fold(text)) == fold(text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("MR-01", ["mr", "01", "mr01"]),
        ("lock-house gate", ["lock", "house", "lockhouse", "gate"]),
        ("WF_NeapAndSpring_48k24.wav", ["wf", "neap", "and", "spring", "48k24", "wav"]),
        ("“Here,” he said.", ["here", "he", "said"]),
    ],
)
def test_words(text, words):
    assert list(words_of(text))[: len(words)] == words


@pytest.mark.parametrize(
    ("typed", "stands", "likeness"),
    [
        ("ribbon", "ribbon", SAME),
        ("comp", "compressor", BEGINS),
        ("ribon", "ribbon", ONE_WRONG),
        ("ribbbon", "ribbon", ONE_WRONG),
        ("ribvon", "ribbon", ONE_WRONG),
        ("rbibon", "ribbon", ONE_WRONG),
        ("light", "moonlight", WITHIN),
        ("rivvon", "ribbon", None),
        ("cat", "cab", None),  # too short to be forgiven
        ("mr01", "mr02", None),
        ("17", "1700", None),
        ("1m", "1m4", BEGINS),
    ],
)
def test_likeness(typed, stands, likeness):
    assert forms_of(typed, Vocabulary([stands])).get(stands) == likeness


def test_no_letter_is_wrong_of_a_word_that_there_is():
    assert forms_of("bass", Vocabulary(["brass", "bass"]), forgiving=False) == {"bass": SAME}


def test_small_words_count_where_nothing_else_was_typed():
    assert [term.typed for term in read_terms("salt on the sill", TODAY)] == ["salt", "sill"]
    assert [term.typed for term in read_terms("the", TODAY)] == ["the"]
    assert read_terms(" … ", TODAY) == []


def test_month_and_year_are_one_term_that_may_be_words_too():
    (first, second) = read_terms("Nov 2026 brass", TODAY)

    assert (first.typed, first.ways, first.days.label) == (
        "Nov 2026",
        (("nov", "2026"),),
        "November 2026",
    )
    assert (second.typed, second.days) == ("brass", None)
