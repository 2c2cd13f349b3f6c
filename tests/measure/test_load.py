"""What the judges of a studio under load find; the load itself: `long killed` and `long people`, of which
CI runs a share."""

import random
import subprocess
from collections import Counter

import pytest

from sessions.money.models import PaperKind
from studio.roles import Role
from tests.factories import (
    InvoiceFactory,
    InvoiceLineFactory,
    LetterFactory,
    MoneyPaperFactory,
    PaymentFactory,
    TakeFactory,
)
from tests.mail_server import MailServer
from tests.measure.load.browser import Browser, Page, Unexpected
from tests.measure.load.deeds import AtWork
from tests.measure.load.desks import desks_for
from tests.measure.load.kept import wrong
from tests.measure.load.people import Verdict
from tests.measure.load.processes import kill_all, of_session
from tests.measure.load.rounds import pages_of


@pytest.fixture
def people(db):
    chance = random.Random(1)
    return [
        AtWork(desk, Browser(0, {}, chance), chance)
        for desk in desks_for([Role.MANAGER, Role.ENGINEER])
    ]


def test_nothing_is_wrong_where_nobody_did_anything(people):
    assert list(wrong(people, MailServer())) == []


def test_what_was_acknowledged_and_is_not_there_is_lost(people):
    notes = people[0].notes
    notes.takes.append(("2cd4d4a2-51a3-4ad4-b27e-a1c1e2a5cd37", 1.0, "complete"))
    notes.gains.append(12.5)
    notes.files.append("a sum")
    notes.papers.append("Quoted as 1")
    notes.bills.append(("A disk, 1", 999_999))
    notes.letters.append(999_999)
    notes.payments.append(("a reference", 999_999))

    said = " ".join(wrong(people, MailServer()))

    for what in ("takes", "uploads", "papers", "bills", "letters", "payments"):
        assert f"{what} lost: 1" in said
    assert "in place of 12.5" in said
    assert "the history has no {12.5}" in said


def test_what_is_there_and_nobody_was_told_of_is_doubled_and_half_of_it_torn(people):
    MoneyPaperFactory(kind=PaperKind.QUOTE, note="Quoted as 1")
    InvoiceLineFactory(invoice=InvoiceFactory(), what="A disk, 1")  # of 120.00
    PaymentFactory()
    TakeFactory(number=2)
    LetterFactory(kind="invoice")

    said = " ".join(wrong(people, MailServer()))

    for what in ("papers", "bills", "payments"):
        assert f"{what} doubled, or never acknowledged: 1" in said
    assert "comes to 120.00" in said
    assert "is torn" in said
    assert "numbers of takes" in said
    assert "messages lost: 1" in said  # it never arrived


def test_people_open_what_their_role_may_and_no_more(people):
    manager, engineer = (pages_of(each.desk) for each in people)

    assert "/invoices/" in manager
    assert "/invoices/" not in engineer
    assert set(engineer) < set(manager) | {
        each for each in engineer if str(people[1].desk.setup.pk) in each
    }


PAGE = """<form action="/elsewhere/" method="post"><input name="a" value="0"></form>
<form method="post"><input name="press" value="7"><input type="checkbox" name="on" value="1" checked>
<input type="checkbox" name="off" value="1"><select name="kind"><option value="x">X</option>
<option value="y" selected>Y</option></select><textarea name="note"></textarea></form>"""


def test_form_is_sent_as_a_browser_sends_it():
    """HTML Standard, 4.10.21.4: what is not ticked is not sent, of a choice what is chosen."""
    to, sent = Page("/here/?day=1", 200, PAGE).form(note="Typed")

    assert to == "/here/?day=1"
    assert sent == {"press": ["7"], "on": ["1"], "kind": ["y"], "note": "Typed"}
    with pytest.raises(Unexpected):
        Page("/here/", 200, PAGE).form("/nowhere/")


def verdict(*server, is_long=True, **facts):
    held = [(megabytes, 100.0) for megabytes in server]
    facts = {
        "deeds": Counter(take=1),
        "waits": {"pages": [0.1, 0.2]},
        "slowest": [],
        "errors": [],
    } | facts
    return Verdict(people=30, serving=1, held=held, is_long=is_long, **facts)


@pytest.mark.parametrize(
    ("verdict", "holds"),
    [
        (verdict(*[90] * 3, *[200, 201, 199, 200, 203, 204, 202]), True),  # flat once it is warm
        (verdict(*[90] * 3, *[200, 200, 200, 205, 215, 215, 215]), False),
        (verdict(90, 200, is_long=False), True),  # too short to say
        (verdict(*[200] * 10, errors=["user1: answered 500"]), False),
        (verdict(*[200] * 10, deeds=Counter()), False),  # nobody did anything
    ],
)
def test_thirty_people_hold_without_an_error_and_in_flat_memory(verdict, holds):
    assert verdict.holds == holds


def test_p99_is_stated():
    """Of 1 to 100 ms, by linear interpolation: 99.01 ms (NumPy's default, too)."""
    waits = {"pages": [number / 1000 for number in range(1, 101)]}

    assert "p99 99 ms" in str(verdict(200, 200, waits=waits))


def test_processes_of_a_session_are_found_and_killed_whoever_began_them():
    """setsid(2): a session has the children of its leader, in whatever group, and theirs."""
    children = "sleep 60 & sleep 60 & wait"
    begun = subprocess.Popen(["/bin/sh", "-c", children], start_new_session=True)
    while len(of_session(begun.pid)) < 2:
        pass

    kill_all(begun)

    assert of_session(begun.pid) == []
