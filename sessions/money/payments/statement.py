"""What a client owed at the beginning of a period, what came and went in it, and how old is what is open
at its end."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import F, Q, QuerySet
from django.db.models.functions import Round

from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice, InvoiceKind
from sessions.money.payments.models import Allocation, Payment
from sessions.money.sums import summed

NOTHING = Decimal(0)
AGES = ("Not due", "1–30 days", "31–60 days", "61–90 days", "Over 90 days")
OLDEST = (0, 30, 60, 90)  # days after the due date, up to which each of them goes


@dataclass(frozen=True)
class Move:
    """An invoice (above 0), or a credit note or a payment (below); `balance` is what is owed after it."""

    on: date
    thing: Invoice | Payment
    amount: Decimal
    balance: Decimal


@dataclass(frozen=True)
class Statement:
    """`ages` are sums of what is open, in the order of AGES; less `credit`, what was paid and is not used
    yet, they are `closing`. All below 0 where the studio owes the client."""

    client: Client
    currency: str
    since: date
    until: date
    opening: Decimal
    moves: tuple[Move, ...]
    closing: Decimal
    ages: tuple[Decimal, ...]
    credit: Decimal

    @property
    def by_age(self) -> list[tuple[str, Decimal]]:
        return list(zip(AGES, self.ages, strict=True))

    @property
    def overdue(self) -> Decimal:
        """What is not paid although it was due, once the credit is used for it."""
        return max(sum(self.ages[1:], NOTHING) - self.credit, NOTHING)


def statement(client: Client, currency: str, *, since: date, until: date) -> Statement:
    """From `since` to `until`, both included, by the dates of invoices and the days on which money came.
    Five queries."""
    mine = Q(client=client, currency=currency)
    things = [*_things(mine & Q(dated__lte=until), mine & Q(received_on__lte=until))]
    opening = sum((amount for on, _, amount in things if on < since), NOTHING)
    balance, moves = opening, []
    for on, thing, amount in things:
        if on >= since:
            balance += amount
            moves.append(Move(on, thing, amount, balance))
    open_then = _open_at(Invoice.objects.filter(mine, dated__lte=until), until)
    ages = [NOTHING] * len(AGES)
    for invoice in open_then:
        if invoice.open_then > 0:
            ages[age(invoice.due_on, until)] += invoice.open_then
    credit = sum(ages, NOTHING) - balance
    return Statement(
        client, currency, since, until, opening, tuple(moves), balance, tuple(ages), credit
    )


def age(due_on: date, on: date) -> int:
    """Its place in AGES."""
    late = (on - due_on).days
    return sum(late > oldest for oldest in OLDEST)


def currencies_of(client: Client) -> list[str]:
    """In which it was ever asked or paid for anything. Two queries."""
    asked = client.invoices.order_by().values_list("currency", flat=True).distinct()
    paid = client.payments.order_by().values_list("currency", flat=True).distinct()
    return sorted({*asked, *paid})


def _things(invoices: Q, payments: Q) -> Iterator[tuple[date, Invoice | Payment, Decimal]]:
    """By their days; of one day invoices first, each in the order in which they were written."""
    asked = [
        (each.dated, 0, each.pk, each, -each.total if _credits(each) else each.total)
        for each in Invoice.objects.filter(invoices).defer("as_issued")
    ]
    paid = [
        (each.received_on, 1, each.pk, each, -each.amount)
        for each in Payment.objects.filter(payments)
    ]
    for on, _, _, thing, amount in sorted([*asked, *paid], key=lambda each: each[:3]):
        yield on, thing, amount


def _open_at(invoices: QuerySet, on: date) -> QuerySet:
    """With `open_then`: the total less what was credited and received by that day."""
    notes = Invoice.objects.filter(kind=InvoiceKind.CREDIT_NOTE, dated__lte=on)
    received = Allocation.objects.filter(payment__received_on__lte=on)
    left = F("total") - summed(notes, "credits", "total") - summed(received, "invoice")
    asking = invoices.exclude(kind=InvoiceKind.CREDIT_NOTE)
    return asking.annotate(open_then=Round(left, precision=2)).defer("as_issued")


def _credits(invoice: Invoice) -> bool:
    return invoice.kind == InvoiceKind.CREDIT_NOTE
