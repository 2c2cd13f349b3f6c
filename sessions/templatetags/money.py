"""Amounts of money, and how a client stands, wherever a page shows them. `{% load money %}`."""

from decimal import Decimal

from django import template
from django.utils import timezone

from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice
from sessions.money.payments.accounts import accounts_of, state_of
from sessions.money.payments.letters import reminded_on
from sessions.money.payments.models import Payment
from sessions.terms import currencies

register = template.Library()


@register.filter
def figures(amount: Decimal, currency: str) -> str:
    """With a comma between thousands and a true minus, to the currency’s smallest unit."""
    return currencies.figures(amount, currency)


@register.filter
def state(invoice: Invoice) -> str:
    """Unpaid, part paid, overdue, paid, credited or nothing to pay, today; of one that comes with its balance."""
    return state_of(invoice, timezone.localdate())


@register.inclusion_tag("sessions/money/payments/_of_client.html", takes_context=True)
def money_of(context, client: Client, invoices) -> dict:
    """What a client owes, and all `invoices` there ever were, for those who see money. Two queries."""
    user = context["request"].user
    sees_money = user.has_perm("studio_sessions.see_money")
    accounts = accounts_of(client, timezone.localdate()) if sees_money else []
    return {
        "client": client,
        "invoices": invoices,
        "accounts": accounts,
        "sees_money": sees_money,
        "pages_open": context["pages_open"],
    }


@register.inclusion_tag("sessions/money/payments/_of_invoice.html", takes_context=True)
def paid_of(context, invoice: Invoice) -> dict:
    """What of an invoice is open, and what was paid of it by which payments. Five queries."""
    invoice = Invoice.objects.with_balance().select_related("client").get(pk=invoice.pk)
    rows = invoice.allocations.select_related("payment")
    payments: dict[Payment, Decimal] = {}
    for row in rows:
        payments[row.payment] = payments.get(row.payment, Decimal(0)) + row.amount
    today = timezone.localdate()
    return {
        "invoice": invoice,
        "state": state_of(invoice, today),
        "payments": [(payment, amount) for payment, amount in payments.items() if amount],
        "may_be_reminded_of": invoice.balance > 0 and invoice.due_on < today,
        "reminded": reminded_on([invoice.pk]).get(invoice.pk),
    }
