"""Invoices of round sums, dated by days of November 2026."""

from datetime import date
from decimal import Decimal

from sessions.money.invoices.models import Invoice, InvoiceKind
from tests.factories import InvoiceFactory


def day(number: int) -> date:
    return date(2026, 11, number)


def asked(client, total: str, *, dated: int = 1, due: int = 15, **facts) -> Invoice:
    """For so much, tax included, dated and due on those days."""
    return InvoiceFactory(
        client=client,
        dated=day(dated),
        due_on=day(due),
        net=Decimal(total),
        tax=Decimal(0),
        total=Decimal(total),
        **facts,
    )


def credited(invoice: Invoice, total: str, *, dated: int = 2) -> Invoice:
    return InvoiceFactory(
        client=invoice.client,
        kind=InvoiceKind.CREDIT_NOTE,
        credits=invoice,
        dated=day(dated),
        due_on=None,
        net=Decimal(total),
        tax=Decimal(0),
        total=Decimal(total),
    )


def balances(client) -> list[str]:
    """Of all that asks for payment, in the order of issue."""
    rows = Invoice.objects.filter(client=client).charging().with_balance().order_by("pk")
    return [f"{each.balance:.2f}" for each in rows]
