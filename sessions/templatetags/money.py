"""Amounts of money, and how a client stands, wherever a page shows them. `{% load money %}`."""

from decimal import Decimal

from django import template
from django.utils import timezone

from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice
from sessions.money.payments.accounts import accounts_of, state_of
from sessions.terms import currencies

register = template.Library()


@register.filter
def figures(amount: Decimal, currency: str) -> str:
    """With a comma between thousands and a true minus, to the currency’s smallest unit."""
    return currencies.figures(amount, currency)


@register.filter
def state(invoice: Invoice) -> str:
    """Unpaid, part paid, overdue, paid or credited, today; of one that comes with its balance."""
    return state_of(invoice, timezone.localdate())


@register.inclusion_tag("sessions/money/payments/_of_client.html", takes_context=True)
def money_of(context, client: Client) -> dict:
    """What a client owes, for those who see money. Two queries."""
    user = context["request"].user
    sees_money = user.has_perm("studio_sessions.see_money")
    accounts = accounts_of(client, timezone.localdate()) if sees_money else []
    return {
        "client": client,
        "accounts": accounts,
        "sees_money": sees_money,
        "pages_open": context["pages_open"],
    }
