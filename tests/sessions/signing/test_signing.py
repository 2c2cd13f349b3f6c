import json

import pytest
from django.db import IntegrityError, transaction
from django.template.loader import render_to_string
from lxml import html

from sessions.signing.forms import READ_AGAIN, SignatureForm
from sessions.signing.models import Signature, sign
from sessions.signing.statement import Statement
from tests.factories import SignatureFactory, UserFactory
from tests.factories.signing import LINES, STATEMENT


def typed(**facts):
    return {
        "signed_name": "Ebba Quarrell",
        "strokes": json.dumps(LINES),
        "read": STATEMENT.fingerprint,
        **facts,
    }


def form(**facts):
    return SignatureForm(typed(**facts), statement=STATEMENT)


def test_drawn_signature_is_what_was_drawn():
    signed = form()

    assert signed.is_valid()
    assert signed.signature == {"name": "Ebba Quarrell", "strokes": LINES}


def test_typed_name_signs_where_that_is_ticked():
    signed = form(strokes="", by_typing="on")

    assert signed.is_valid()
    assert signed.signature == {"name": "Ebba Quarrell", "strokes": []}


def test_what_was_drawn_before_the_tick_is_not_kept():
    signed = form(by_typing="on")

    assert signed.is_valid()
    assert signed.signature["strokes"] == []


def test_neither_drawn_nor_ticked_is_refused_beside_the_pad():
    unsigned = form(strokes="")

    assert unsigned.errors == {
        "strokes": ["Sign in the box, or tick that the typed name is enough."]
    }


def test_name_is_wanted_and_the_drawing_stays():
    nameless = form(signed_name=" ")

    assert list(nameless.errors) == ["signed_name"]
    page = html.fromstring(render_to_string("sessions/signing/_pad.html", {"form": nameless}))
    assert json.loads(page.xpath("//input[@name='strokes']/@value")[0]) == LINES
    assert page.xpath("//path[@data-signing-ink]/@d") == [
        "M100 300L200 100L300 300M500 200L700 210"
    ]


def test_what_was_not_read_is_not_signed_and_has_to_be_drawn_again():
    """Another word in the statement: the page that was signed showed something else."""
    dearer = Statement(STATEMENT.title, (*STATEMENT.facts, ("Price", "96.00")), STATEMENT.sentence)
    late = SignatureForm(typed(), statement=dearer)

    assert late.errors == {"__all__": [READ_AGAIN]}
    page = html.fromstring(render_to_string("sessions/signing/_pad.html", {"form": late}))
    assert page.xpath("//input[@name='read']/@value") == [dearer.fingerprint]
    assert page.xpath("//input[@name='strokes']/@value") == []
    assert page.xpath("//input[@name='signed_name']/@value") == ["Ebba Quarrell"]


def test_broken_drawing_is_told_once():
    assert form(strokes="[[1]]").errors == {
        "strokes": ["This signature can’t be read: clear it and draw it again."]
    }


@pytest.mark.django_db
def test_signature_keeps_the_words_that_were_signed():
    user = UserFactory()

    sign(STATEMENT, name="Ebba Quarrell", strokes=LINES, on_behalf_of="Neap Records", by=user)

    kept = Signature.objects.get()
    assert kept.signed == STATEMENT
    assert (kept.strokes, kept.taken_by) == (LINES, user)
    assert str(kept) == "Ebba Quarrell, for Neap Records"


@pytest.mark.django_db
def test_signature_is_neither_changed_nor_deleted():
    signature = SignatureFactory()
    rows = Signature.objects.filter(pk=signature.pk)

    for change in ({"name": "Somebody"}, {"strokes": []}, {"statement": {}}):
        with pytest.raises(IntegrityError, match="signature_kept"), transaction.atomic():
            rows.update(**change)
    with pytest.raises(IntegrityError, match="signature_kept"), transaction.atomic():
        rows._raw_delete(rows.db)


@pytest.mark.parametrize("medium", ["", "paper"])
def test_signature_is_drawn_with_name_and_time(medium):
    signature = SignatureFactory.build(on_behalf_of="Neap Records")

    shown = html.fromstring(
        render_to_string(
            "sessions/signing/_signed.html", {"signature": signature, "medium": medium}
        )
    )

    [drawing] = shown.xpath("//img | //svg")
    assert drawing.get("alt" if medium else "aria-label") == "Signature of Ebba Quarrell"
    assert "Ebba Quarrell, for Neap Records" in shown.text_content()


def test_name_that_is_markup_stays_text():
    signature = SignatureFactory.build(name='<b onload="x">')

    shown = html.fromstring(
        render_to_string("sessions/signing/_signed.html", {"signature": signature})
    )

    assert shown.xpath("//b") == []
    assert shown.xpath("//svg/@aria-label") == ['Signature of <b onload="x">']
