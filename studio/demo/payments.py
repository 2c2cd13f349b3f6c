"""What was paid: a deposit at once, a part of an invoice late, too much for the first half of one."""

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from sessions.money.invoices.models import Invoice, InvoiceKind
from sessions.money.payments.actions import record_payment
from sessions.money.payments.models import Method
from studio.demo.days import as_of
from studio.demo.invoices import NARRATION, SERIAL
from studio.models import User

PART = Decimal("250.00")  # of what the serial comes to
OVER = Decimal("18.00")  # a deposit sent as a round sum


def fill_payments() -> None:
    """Call once invoices are issued."""
    manager = User.objects.get(username="odile")
    deposit = _bill_of(NARRATION, InvoiceKind.DEPOSIT)
    _paid(deposit, deposit.total + OVER, days_later=0, reference="TIDE 0417", by=manager)
    serial = _bill_of(SERIAL, InvoiceKind.INVOICE)
    _paid(serial, PART, days_later=9, reference="", method=Method.CARD, by=manager)


def _bill_of(title: str, kind: str) -> Invoice:
    found = Invoice.objects.filter(kind=kind, lines__money_paper__session__title=title)
    return found.distinct().get()


def _paid(invoice: Invoice, amount: Decimal, *, days_later: int, by: User, **facts) -> None:
    moment = min(invoice.issued_at + timedelta(days=days_later), timezone.now())
    with as_of(moment):
        record_payment(
            invoice.client,
            received_on=timezone.localdate(),
            amount=amount,
            currency=invoice.currency,
            to={invoice: min(amount, invoice.total)},
            by=by,
            **facts,
        )
