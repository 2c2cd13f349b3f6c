"""How a client stands with the studio, currency by currency."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice
from sessions.money.payments.models import Payment

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Account:
    """`open` are the invoices that ask for something still, the first due first, each with its balance;
    `credit` is what was paid and is free, or was paid for what has been credited since."""

    currency: str
    open: tuple[Invoice, ...]
    overdue: Decimal
    credit: Decimal

    @property
    def asked(self) -> Decimal:
        return sum((each.balance for each in self.open), NOTHING)

    @property
    def owed(self) -> Decimal:
        """Below 0 where the studio owes the client."""
        return self.asked - self.credit


def accounts_of(client: Client, on: date) -> list[Account]:
    """One for each currency in which it was ever asked or paid for anything. Two queries."""
    invoices = client.invoices.charging().with_balance().defer("as_issued", "tax_rows", "note")
    payments = Payment.objects.filter(client=client).with_free().values_list("currency", "free")
    open_in: dict[str, list[Invoice]] = {}
    credit_in: dict[str, Decimal] = {}
    for currency, free in payments:
        credit_in[currency] = credit_in.get(currency, NOTHING) + free
    for invoice in invoices.order_by("due_on", "pk"):
        open_in.setdefault(invoice.currency, [])
        if invoice.balance > 0:
            open_in[invoice.currency].append(invoice)
        else:
            over = credit_in.get(invoice.currency, NOTHING) - invoice.balance
            credit_in[invoice.currency] = over
    return [
        _account(currency, open_in.get(currency, []), credit_in.get(currency, NOTHING), on)
        for currency in sorted(open_in.keys() | credit_in.keys())
    ]


def _account(currency: str, invoices: list[Invoice], credit: Decimal, on: date) -> Account:
    late = (each.balance for each in invoices if each.due_on < on)
    return Account(currency, tuple(invoices), sum(late, NOTHING), credit)


def state_of(invoice: Invoice, on: date) -> str:
    """In words, of an invoice that comes with its balance; overdue begins the day after it was due."""
    if invoice.balance <= 0:
        if not invoice.total:
            return "nothing to pay"  # the deposit covers it
        return "paid" if invoice.paid > 0 else "credited"
    if invoice.due_on < on:
        return "overdue"
    return "part paid" if invoice.paid > 0 else "unpaid"


def balance_of(invoice: Invoice) -> Decimal:
    """What of it is open: below 0 where more was paid than it asks since it was credited. A query."""
    return Invoice.objects.with_balance().values_list("balance", flat=True).get(pk=invoice.pk)
