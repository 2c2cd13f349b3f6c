"""The studio's money against a bookkeeper who reckons in fractions (`tests/measure/money/`): a little of it
on each engine, and that it finds what is wrong. `python -m tests.measure long money` does more."""

import random
from datetime import timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest
import time_machine

from sessions.money.invoices import crediting
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.payments import actions, statement
from sessions.terms import taxes
from tests.measure.money import proof
from tests.measure.money.business import KINDS

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("seed", [11])
def test_every_sum_is_the_bookkeepers(seed):
    verdict = proof.prove(40, seed)

    assert verdict.wrong == []
    assert verdict.compared > 200


def test_every_kind_of_thing_is_done_in_time():
    proof_ = proof.Proof(random.Random(2), SimpleNamespace())
    with time_machine.travel("2026-02-20T12:00Z", tick=False) as clock:
        done = set()
        while len(done) < len(KINDS):
            clock.shift(timedelta(hours=20))
            done.add(proof_.business.make())

    assert done == {kind.__name__.strip("_") for kind in KINDS}


def a_penny_less(net, percent, currency):
    return real_tax_on(net, percent, currency) - (Decimal("0.01") if net > 100 else 0)


real_tax_on = taxes.tax_on


@pytest.mark.parametrize(
    ("module", "name", "instead", "found"),
    [
        (taxes, "tax_on", a_penny_less, "states tax"),
        (crediting, "tax_on", lambda *_: Decimal(0), "Credit note"),
        (statement, "age", lambda due_on, on: 4, "ages, statement"),
        (actions, "_due_first", lambda payment: [], "balance of"),
    ],
)
def test_what_is_wrong_is_found(monkeypatch, module, name, instead, found):
    monkeypatch.setattr(module, name, instead)

    wrong = proof.prove(40, seed=2).wrong

    assert any(found in each for each in wrong)


def test_what_is_billed_and_offered_once_more_is_found(monkeypatch):
    orders = MoneyPaper.objects.filter(kind=PaperKind.WORK_ORDER)
    monkeypatch.setattr(proof, "papers_to_bill", orders.all)

    assert any("what is to be billed" in each for each in proof.prove(40, seed=2).wrong)
