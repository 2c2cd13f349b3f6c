"""What the words that were typed were read as, where that is more or other than themselves."""

from collections.abc import Iterator
from dataclasses import dataclass

from gear.equipment.models import Category, Transducer
from sessions.recall.finding.likeness import BEGINS, Vocabulary, forms_of
from sessions.recall.finding.matching import Asked, text_of
from sessions.recall.finding.terms import Term
from sessions.recall.finding.words import words_of_all

KINDS = {
    label: Vocabulary([text_of(words_of_all([label]))])
    for label in (*Category.labels, *Transducer.labels)
}
OTHER_WORDS = 3  # that are named


@dataclass(frozen=True)
class Understood:
    typed: str
    as_what: str


def understood(*asked: Asked) -> list[Understood]:
    """For each term that has more to it; the spellings are of what was looked through."""
    terms = asked[0].terms
    read = [
        Understood(term.typed, "; ".join(_read(n, term, asked))) for n, term in enumerate(terms)
    ]
    return [each for each in read if each.as_what]


def _read(n: int, term: Term, asked: tuple[Asked, ...]) -> Iterator[str]:
    forms = {
        form: like
        for each in asked
        for word in term.words
        for form, like in each.forms[n][word].items()
    }
    if term.days:
        stands = any(
            all(each.forms[n][word] for word in way) for each in asked for way in term.ways
        )
        yield term.days.label + (", or the word" if stands else "")
    kinds = [label for label, kind in KINDS.items() if _names(term, kind)]
    if kinds:
        yield f"gear of the kind {' or '.join(kinds)}"
    named = any(each.refs[n] for each in asked)
    if not (term.days or kinds or named) and forms and max(forms.values()) < BEGINS:
        best = sorted(forms, key=lambda form: (-forms[form], form))
        yield " or ".join(f"“{form}”" for form in best[:OTHER_WORDS])


def _names(term: Term, kind: Vocabulary) -> bool:
    return any(all(forms_of(word, kind) for word in way) for way in term.ways)
