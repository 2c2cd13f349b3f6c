"""Record what clients paid, say what it is for, give it back. Each locks the client, so that no money is
used twice, and is one transaction."""

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db.models import Sum
from django.db.models.functions import Round
from django.utils import timezone

from gear.acting import action
from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.reminders import forget_reminders_of_settled
from sessions.money.payments.models import Allocation, Payment
from sessions.terms.currencies import figures, minor_unit, rounded

NOTHING = Decimal(0)


class PaymentRefused(ValidationError):
    """Money that cannot be recorded or used so; the message says why."""


class AllocatedMeanwhile(PaymentRefused):
    """Somebody else said what a payment is for since its page was opened."""


@action
def record_payment(
    client: Client,
    *,
    received_on: date,
    amount: Decimal,
    currency: str,
    by,
    to: Mapping[Invoice, Decimal] | None = None,
    **facts,
) -> Payment:
    """Money that came in: used for the invoices in `to`, or for what fell due first where that is
    None. What is left over stays as the client's credit. `facts`: method, reference, note.

    Raises PaymentRefused for a day to come, for a part of the smallest unit, and for more than was
    received or is open.
    """
    _lock(client)
    _check(received_on, amount, currency)
    payment = Payment.objects.create(
        client=client,
        received_on=received_on,
        amount=amount,
        currency=currency,
        recorded_by=by,
        **facts,
    )
    if to is None:
        _use(payment, amount, by=by)
    else:
        _say(payment, to, by=by)
    forget_reminders_of_settled(standing(payment))
    return payment


@action
def say_what_for(payment: Payment, *, to: Mapping[Invoice, Decimal], seen: int, by) -> None:
    """Have the payment stand for these invoices with these amounts, and for no other.

    `seen` is how many rows the page had of what it was for. Raises AllocatedMeanwhile where there are
    more by now, PaymentRefused for more than there is or is open.
    """
    _lock(payment.client)
    if payment.allocations.count() != seen:
        raise AllocatedMeanwhile(
            "Somebody else changed what this payment is for while you were choosing: this is how it "
            "stands now."
        )
    _say(payment, to, by=by)
    forget_reminders_of_settled(standing(payment))


@action
def use_credit(client: Client, *, currency: str, by) -> Decimal:
    """Free what was paid for an invoice beyond what it still asks (it was credited since), the newest
    money first, and use all that is free for what fell due first. Returns how much was used."""
    _lock(client)
    _free_what_is_over(client, currency, by=by)
    used = NOTHING
    for payment in Payment.objects.of(client, currency).with_free().filter(free__gt=0).in_order():
        used += _use(payment, payment.free, by=by)
        forget_reminders_of_settled(standing(payment))
    return used


@action
def refund(
    client: Client, *, received_on: date, amount: Decimal, currency: str, by, **facts
) -> Payment:
    """Money given back: from the client's credit, what came first first. Nothing is given back that
    was not received, or that an invoice still asks. Raises PaymentRefused."""
    _lock(client)
    _check(received_on, amount, currency)
    _free_what_is_over(client, currency, by=by)
    free = list(Payment.objects.of(client, currency).with_free().filter(free__gt=0).in_order())
    if amount > (most := sum((each.free for each in free), NOTHING)):
        raise PaymentRefused(
            {
                "amount": f"{client} has {figures(most, currency)} {currency} of credit: no more than "
                "that can be given back. Credit an invoice first, or free a payment."
            }
        )
    given = Payment.objects.create(
        client=client,
        received_on=received_on,
        amount=-amount,
        currency=currency,
        recorded_by=by,
        **facts,
    )
    for payment in free:
        if part := min(payment.free, amount):
            _allocate(payment, part, refund=given, by=by)
            amount -= part
    return given


@action
def strike_out(payment: Payment, *, note: str, by) -> Payment:
    """A row against one that was entered by mistake: what it was used for is open again, and what a
    refund gave back is credit again. Raises PaymentRefused for one that was struck out, strikes
    another out, or of which a part was given back since."""
    _lock(payment.client)
    if payment.reverses_id or Payment.objects.filter(reverses=payment).exists():
        raise PaymentRefused(f"{payment} is struck out, or strikes another out, already.")
    if payment.allocations.filter(refund__isnull=False).exists():
        raise PaymentRefused(
            f"A part of {payment} was given back: strike out the refund first, if it was one."
        )
    _say(payment, {}, by=by)
    against = Payment.objects.create(
        client=payment.client,
        received_on=timezone.localdate(),
        amount=-payment.amount,
        currency=payment.currency,
        method=payment.method,
        note=note,
        reverses=payment,
        recorded_by=by,
    )
    if payment.amount > 0:
        _allocate(payment, payment.amount, refund=against, by=by)
    return against


def _lock(client: Client) -> None:
    Client.objects.select_for_update(no_key=True).get(pk=client.pk)


def _check(received_on: date, amount: Decimal, currency: str) -> None:
    if received_on > timezone.localdate():
        raise PaymentRefused({"received_on": "This day is to come: enter money once it is there."})
    if amount <= 0:
        raise PaymentRefused({"amount": "Enter an amount above 0."})
    if amount != rounded(amount, currency):
        unit = minor_unit(currency)
        raise PaymentRefused({"amount": f"The smallest amount in {currency} is {unit}."})


def _say(payment: Payment, to: Mapping[Invoice, Decimal], *, by) -> None:
    """Write the difference between how it stands and how it is to stand."""
    now = standing(payment)
    wanted = {invoice.pk: amount for invoice, amount in to.items() if amount}
    if any(amount < 0 for amount in wanted.values()):
        raise PaymentRefused("Enter amounts above 0.")
    if wanted and sum(wanted.values()) > payment.amount - _given_back(payment):
        raise PaymentRefused("That is more than was received.")
    open_now = {
        invoice.pk: invoice
        for invoice in Invoice.objects.filter(pk__in=now.keys() | wanted.keys()).with_balance()
    }
    for key, amount in wanted.items():
        invoice, more = open_now[key], amount - now.get(key, NOTHING)
        if (invoice.client_id, invoice.currency) != (payment.client_id, payment.currency):
            raise PaymentRefused(f"{invoice} is another client’s, or in another currency.")
        if more > max(invoice.balance, NOTHING):
            asks = figures(invoice.balance + now.get(key, NOTHING), invoice.currency)
            raise PaymentRefused(f"{invoice} asks for {asks} {invoice.currency}: no more is used.")
    changes = {key: wanted.get(key, NOTHING) - now.get(key, NOTHING) for key in open_now}
    for key, change in sorted(changes.items(), key=lambda each: each[1]):  # freed first
        if change:
            _allocate(payment, change, invoice=open_now[key], by=by)


def _use(payment: Payment, free: Decimal, *, by) -> Decimal:
    """Of what is free, as much as is open, what fell due first first; how much it was."""
    used = NOTHING
    for invoice in _due_first(payment):
        if part := min(free - used, invoice.balance):
            _allocate(payment, part, invoice=invoice, by=by)
            used += part
    return used


def _due_first(payment: Payment) -> Iterable[Invoice]:
    invoices = Invoice.objects.filter(client=payment.client_id, currency=payment.currency)
    return invoices.still_open().order_by("due_on", "pk")


def _free_what_is_over(client: Client, currency: str, *, by) -> None:
    over = Invoice.objects.filter(client=client, currency=currency).with_balance()
    for invoice in over.filter(balance__lt=0):
        left = -invoice.balance
        used = Payment.objects.filter(allocations__invoice=invoice)
        for payment in (
            used.annotate(used=Round(Sum("allocations__amount"), 2)).in_order().reverse()
        ):
            if part := min(left, payment.used):
                _allocate(payment, -part, invoice=invoice, by=by)
                left -= part


def standing(payment: Payment) -> dict[int, Decimal]:
    """What of it is used for which invoices, by their keys, as it stands. A query."""
    sums: dict[int, Decimal] = {}
    for row in payment.allocations.filter(invoice__isnull=False):
        sums[row.invoice_id] = sums.get(row.invoice_id, NOTHING) + row.amount
    return {key: amount for key, amount in sums.items() if amount}


def _given_back(payment: Payment) -> Decimal:
    rows = payment.allocations.filter(refund__isnull=False)
    return sum((row.amount for row in rows), NOTHING)


def _allocate(payment: Payment, amount: Decimal, *, by, **to) -> None:
    Allocation.objects.create(payment=payment, amount=amount, made_by=by, **to)
