"""Invoices against rules, worked examples and messages that others publish.

EN 16931-1 as its validation rules have it (BR-CO-10, 13, 14, 15, 16 and 17; ConnectingEurope's
schematron): lines are summed exactly, "VAT category tax amount = VAT category taxable amount x (VAT
category rate / 100), rounded half up to two decimals".
"""

from datetime import date
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
import time_machine
from hypothesis import given
from hypothesis import strategies as st

from sessions.money.actions import issue_paper
from sessions.money.invoices.actions import (
    issue_credit_note,
    issue_deposit_invoice,
    issue_invoice,
)
from sessions.money.invoices.drafting import OtherLine
from sessions.money.invoices.models import Invoice
from sessions.money.models import PaperKind
from sessions.money.payments.accounts import balance_of
from sessions.money.payments.actions import record_payment
from sessions.terms.currencies import rounded
from sessions.terms.models import RateCard
from sessions.terms.taxes import tax_on, taxes_of
from tests.factories import ClientFactory
from tests.sessions.money.priced import loaded, priced_session

NETS = st.decimals("-99999.99", "99999.99", places=2)
RATES = st.decimals("0", "30", places=2)


@given(NETS, RATES)
def test_tax_is_rounded_as_pythons_decimal_library_rounds_half_up(net, rate):
    assert tax_on(net, rate, "GBP") == (net * rate / 100).quantize(Decimal("0.01"), ROUND_HALF_UP)


@pytest.mark.parametrize(
    ("net", "tax", "bankers"),
    [("0.08", "0.01", "0.01"), ("0.09", "0.01", "0.01"), ("0.12", "0.02", "0.02")]
    + [("0.04", "0.01", "0.00"), ("0.20", "0.03", "0.02"), ("0.36", "0.05", "0.04")],
)
def test_half_a_penny_goes_up_and_not_to_the_even_one(net, tax, bankers):
    """HM Revenue & Customs, VATREC12030: less than 0.5 of a penny is rounded down, 0.5 or more up; at
    12.5 %, where IEEE 754's other rule, half to even, would charge less."""
    exact = Decimal(net) * Decimal("12.5") / 100

    assert tax_on(Decimal(net), Decimal("12.5"), "GBP") == Decimal(tax)
    assert exact.quantize(Decimal("0.01"), ROUND_HALF_EVEN) == Decimal(bankers)


@pytest.mark.parametrize(("amount", "to"), [("2.357", "2.36"), ("9.862", "9.86")])
def test_fils_of_a_tax_invoice(amount, to):
    """Federal Tax Authority (United Arab Emirates), public clarification VATP006, as quoted at
    mbgcorp.com: the tax to the nearest fils."""
    assert rounded(Decimal(amount), "AED") == Decimal(to)


def test_three_pens():
    """Inland Revenue Authority of Singapore, Invoicing customers, "Calculating GST on tax invoices",
    the second of its two ways: the rate on the total of all items. The figures, at 6 %, as worked at
    mrp.com.my/2016/08/05/calculating-gst-on-tax-invoices: 0.32, where line by line gives 0.33."""
    [row] = taxes_of([("GST", Decimal(6), Decimal("1.77"))] * 3, "SGD")

    assert (row.net, row.tax) == (Decimal("5.31"), Decimal("0.32"))
    assert 3 * tax_on(Decimal("1.77"), Decimal(6), "SGD") == Decimal("0.33")


@given(st.lists(st.decimals("0.01", "9999.99", places=2), min_size=1, max_size=12))
def test_total_invoice_rule(nets):
    """A New Tax System (Goods and Services Tax) Act 1999 (Australia), section 9-90 (2) (a): the tax on
    each supply without rounding, added up, to the nearest cent, 0.5 cents upwards; at 10 %."""
    exact = sum(Fraction(net) * 10 / 100 for net in nets)

    [row] = taxes_of([("GST", Decimal(10), net) for net in nets], "AUD")

    assert Fraction(row.tax) == Fraction((exact * 100 + Fraction(1, 2)).__floor__(), 100)


def sums(invoice: Invoice) -> list[str]:
    return [f"{each:.2f}" for each in (invoice.net, invoice.tax, invoice.total)]


@pytest.mark.django_db
def test_peppol_example_with_allowances_and_a_prepaid_amount(manager):
    """OpenPEPPOL, peppol-bis-invoice-3, rules/examples/Allowance-example.xml: EUR 4000 and 900 at 25 %
    with a charge and an allowance of 200 each, 1000 exempt, 1000 paid already."""
    client = ClientFactory()
    lines = [("4000", 25), ("900", 25), ("200", 25), ("-200", 25), ("1000", 0)]
    other = [
        OtherLine(what="Item", net=Decimal(net), tax_percent=Decimal(rate)) for net, rate in lines
    ]

    invoice = issue_invoice(client, other=other, currency="EUR", by=manager)
    with time_machine.travel("2026-06-02"):
        record_payment(
            client, received_on=date(2026, 6, 1), amount=Decimal(1000), currency="EUR", by=manager
        )

    assert sums(invoice) == ["5900.00", "1225.00", "7125.00"]
    assert [(row.percent, row.net, row.tax) for row in invoice.taxes] == [
        (25, 4900, 1225),
        (0, 1000, 0),
    ]
    assert balance_of(invoice) == Decimal("6125.00")


@pytest.mark.django_db
def test_peppol_example_of_a_credit_note(manager):
    """The same, base-creditnote-correction.xml: 2800 less 1500 and a charge of 25, at 25 %."""
    lines = [Decimal(2800), Decimal(-1500), Decimal(25)]
    other = [OtherLine(what="Item", net=net, tax_percent=Decimal(25)) for net in lines]
    invoice = issue_invoice(ClientFactory(), other=other, currency="EUR", by=manager)

    note = issue_credit_note(invoice, by=manager)

    assert sums(note) == ["1325.00", "331.25", "1656.25"]
    assert balance_of(invoice) == 0


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("percent", "deposit", "net", "tax"),
    [
        # HM Revenue & Customs, VAT fractions: a sixth of what includes 20 %, 7/47 of 17.5 %.
        ("20", "120.00", "100.00", "20.00"),
        ("17.5", "47.00", "40.00", "7.00"),
        # VATP006, as above: a receipt of 35.50 that includes 5 %.
        ("5", "35.50", "33.81", "1.69"),
    ],
)
def test_tax_in_a_deposit(manager, percent, deposit, net, tax):
    """It is due when the deposit is asked for or paid, on the sum that includes it (HM Revenue &
    Customs, VAT guide (Notice 700), advance payments and deposits; its text from memory)."""
    session = priced_session()
    RateCard.objects.update(tax_percent=Decimal(percent))
    offer = issue_paper(loaded(session), kind=PaperKind.QUOTE, by=manager)

    invoice = issue_deposit_invoice(offer, amount=Decimal(deposit), by=manager)

    assert sums(invoice) == [net, tax, deposit]
