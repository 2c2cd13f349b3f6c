import csv
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from io import StringIO

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from sessions.money.invoices.actions import (
    issue_credit_note,
    issue_deposit_invoice,
    issue_invoice,
)
from sessions.money.invoices.drafting import OtherLine
from sessions.reports.usage.income import income_of_year, shares
from tests.factories import InvoiceLineFactory, ProjectFactory, ReservationFactory, RoomFactory
from tests.sessions.money.invoices.billed import quote, work_order, wrapped

pytestmark = pytest.mark.django_db


def at(month, day=10):
    return time_machine.travel(datetime(2026, month, day, 12, tzinfo=UTC), tick=False)


def earned(rows) -> dict[str, list[str]]:
    return {each.name: [f"{amount}" for amount in each.months if amount] for each in rows}


def invoiced(paper, *, by, **more):
    return issue_invoice(paper.session.project.client, papers=[paper], by=by, **more)


def in_rooms(paper, *names):
    for name in names:
        ReservationFactory(session=paper.session, room=RoomFactory(name=name))
    return paper


def test_invoice_counts_for_its_client_and_the_rooms_of_its_session(manager):
    """180.00 without tax, at one session in two rooms."""
    project = ProjectFactory(client__name="Ropewalk")
    paper = work_order(by=manager, project=project)
    disk = OtherLine("A disk", Decimal("60.00"), Decimal(20), quantity="1")
    with at(6):
        invoiced(paper, by=manager, other=[disk])
    in_rooms(paper, "Rope Floor", "Bread Room")

    [income] = income_of_year(2026)

    assert income.currency == "GBP"
    assert earned(income.clients) == {"Ropewalk": ["240.00"]}
    rooms = {"Bread Room", "Rope Floor"} & set(earned(income.rooms))
    assert rooms == {"Bread Room", "Rope Floor"}
    assert earned(income.rooms)["Without a room"] == ["60.00"]
    assert sum(each.total for each in income.rooms) == income.whole.total == 240
    assert income.whole.months[5] == 240
    assert income_of_year(2025) == []


def test_deposit_counts_when_it_is_asked_for_and_its_invoice_what_is_left(manager):
    """A deposit of 108.00 with tax (90.00 and 18.00) in May, 180.00 in June: 90.00 in each."""
    offered = quote(by=manager)
    with at(5):
        issue_deposit_invoice(offered, by=manager)
    with at(6):
        invoiced(wrapped(offered, by=manager), by=manager)

    [income] = income_of_year(2026)

    assert [f"{amount}" for amount in income.whole.months[4:6]] == ["90.00", "90.00"]
    assert income.whole.total == 180
    assert sum(each.total for each in income.rooms) == 180


def test_credit_note_takes_back_in_its_own_month_and_from_the_same_rooms(manager):
    paper = work_order(by=manager)
    with at(6):
        invoice = invoiced(paper, by=manager)
    in_rooms(paper, "Rope Floor")
    with at(8):
        issue_credit_note(invoice, by=manager)

    [income] = income_of_year(2026)

    assert (income.whole.months[5], income.whole.months[7], income.whole.total) == (180, -180, 0)
    assert "-" in "".join(earned(income.rooms)["Rope Floor"])


def test_credit_of_an_invoice_that_took_a_deposit_off_leads_back_to_its_session(manager):
    offered = quote(by=manager)
    with at(5):
        issue_deposit_invoice(offered, by=manager)
    with at(6):
        issue_credit_note(invoiced(wrapped(offered, by=manager), by=manager), by=manager)
    in_rooms(offered, "Rope Floor")

    [income] = income_of_year(2026)

    assert "Without a room" not in earned(income.rooms)
    assert income.whole.total == 90  # the deposit is still there


@given(
    pence=st.integers(-(10**9), 10**9),
    count=st.integers(1, 9),
    currency=st.sampled_from(["GBP", "JPY"]),
)
def test_shares_are_equal_to_a_unit_and_make_up_the_amount(pence, count, currency):
    """ISO 4217: the pound has two decimal places, the yen none."""
    amount = Decimal(pence) if currency == "JPY" else Decimal(pence) / 100
    unit = Fraction(1) if currency == "JPY" else Fraction(1, 100)

    parts = [Fraction(part) for part in shares(amount, count, currency)]

    assert sum(parts) == Fraction(amount)
    assert max(parts) - min(parts) <= unit
    assert all(part % unit == 0 for part in parts)


def test_currencies_stand_apart(client_of, manager):
    for currency in ("EUR", "GBP"):
        InvoiceLineFactory(
            invoice__currency=currency,
            invoice__client__name=f"Client in {currency}",
            invoice__dated=date(2026, 6, 1),
        )
    client = client_of(manager)

    page = client.get(reverse("usage:income"), {"year": "2026"})
    file = client.get(reverse("usage:income_csv"), {"year": "2026"}).getvalue()

    assert page.text.index("<h2>EUR</h2>") < page.text.index("<h2>GBP</h2>")
    assert list(csv.DictReader(StringIO(file.decode("utf-8-sig"))))[0] == {
        "kind": "client",
        "name": "Client in EUR",
        "month": "2026-06",
        "net": "100.00",
        "currency": "EUR",
    }
    assert "Nothing was invoiced in 2025." in client.get("/usage/income/?year=2025").text


@pytest.mark.parametrize("rows", [1, 3])
def test_any_number_of_invoices_costs_two_queries(manager, rows, django_assert_num_queries):
    for number in range(rows):
        paper = work_order(by=manager)
        invoiced(paper, by=manager)
        in_rooms(paper, f"Loft {number}")

    with django_assert_num_queries(2):
        assert len(income_of_year(timezone.localdate().year)[0].clients) == rows
