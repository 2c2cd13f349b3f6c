"""Payments, one by one: entering them, what they are for, giving money back, striking out."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone

from gear.asked import whole_number
from gear.editing.form_pages import Crumbs, form_page, trail
from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice
from sessions.money.payments.accounts import accounts_of
from sessions.money.payments.actions import (
    record_payment,
    refund,
    say_what_for,
    standing,
    strike_out,
)
from sessions.money.payments.forms import (
    InvoicesForm,
    PaymentForm,
    RefundForm,
    StrikeOutForm,
    typed_amount,
)
from sessions.money.payments.models import Payment
from sessions.terms.models import RateCard

PAYMENTS = ("Payments", "payments:list")
AMOUNTS = "sessions/money/payments/amounts_form.html"


def account_crumbs(client: Client) -> Crumbs:
    account = ("Account", reverse("payments:account", args=[client.pk]))
    return [*trail(("Clients", "clients:list"), client), account]


def create(request: HttpRequest, pk: int) -> HttpResponse:
    """Money that came; `?invoice=` names the one that it is for."""
    client = get_object_or_404(Client, pk=pk)
    invoices = client.invoices.still_open().order_by("due_on", "pk")
    form = PaymentForm(
        request.POST or None, invoices=invoices, initial=_first_guess(request, client, invoices)
    )
    if form.is_bound and form.is_valid():
        try:
            payment = record_payment(client, **form.cleaned_data, by=request.user)
        except ValidationError as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{payment} of {payment.amount_in_words} saved.")
            return redirect(payment)
    title, crumbs = f"Payment by {client}", account_crumbs(client)
    return form_page(request, form, title=title, crumbs=crumbs, template=AMOUNTS, asks_for=True)


def _first_guess(request: HttpRequest, client: Client, invoices) -> dict:
    """Today, and all that the invoice asks which the address names, or which is due first."""
    named = whole_number(request.GET.get("invoice"))
    chosen = next((each for each in invoices if each.pk == named), None)
    first = chosen or next(iter(invoices), None)
    guess = {
        "received_on": timezone.localdate(),
        "currency": first.currency if first else _currency_of(client),
    }
    if chosen:
        amount = typed_amount(chosen.balance, chosen)
        guess |= {"amount": amount, f"for_{chosen.pk}": amount}
    return guess


def _currency_of(client: Client) -> str:
    accounts = accounts_of(client, timezone.localdate())
    card = RateCard.objects.filter(retired=False).first()
    return accounts[0].currency if accounts else card.currency if card else "GBP"


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What it is for, and how that came about."""
    payment = get_object_or_404(Payment.objects.for_list(), pk=pk)
    rows = payment.allocations.select_related("invoice", "refund", "made_by")
    used = standing(payment)
    context = {
        "payment": payment,
        "used": [
            (invoice, used[invoice.pk])
            for invoice in Invoice.objects.filter(pk__in=used).order_by("pk")
        ],
        "rows": rows,
        "given_back": payment.taken_from.select_related("payment"),
        "crumbs": [*account_crumbs(payment.client), (str(payment), "")],
    }
    return TemplateResponse(request, "sessions/money/payments/detail.html", context)


def what_for(request: HttpRequest, pk: int) -> HttpResponse:
    """Which invoices the payment stands for, as it is to stand: whoever comes second is told."""
    payments = Payment.objects.for_list().filter(amount__gt=0, reversed_by=None)
    payment = get_object_or_404(payments, pk=pk)
    now = standing(payment)
    mine = payment.client.invoices.charging().filter(currency=payment.currency).with_balance()
    invoices = [
        each for each in mine.order_by("due_on", "pk") if each.balance > 0 or each.pk in now
    ]
    seen = payment.allocations.count()
    initial = {f"for_{key}": typed_amount(amount, payment) for key, amount in now.items()}
    form = InvoicesForm(request.POST or None, invoices=invoices, initial=initial)
    if form.is_bound and form.is_valid():
        typed_on = whole_number(request.POST.get("seen")) or 0
        try:
            say_what_for(payment, to=form.cleaned_data["to"], seen=typed_on, by=request.user)
        except ValidationError as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"What {payment} is for was saved.")
            return redirect(payment)
    crumbs = [*account_crumbs(payment.client), *trail(payment)]
    return form_page(
        request,
        form,
        title=f"What {payment} is for",
        crumbs=crumbs,
        template=AMOUNTS,
        payment=payment,
        seen=seen,
    )


def refund_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Money given back, out of the client’s credit."""
    client = get_object_or_404(Client, pk=pk)
    with_credit = [each for each in accounts_of(client, timezone.localdate()) if each.credit > 0]
    initial = {"received_on": timezone.localdate(), "currency": _currency_of(client)}
    if with_credit:
        initial |= {"currency": (first := with_credit[0]).currency}
        initial["amount"] = f"{first.credit:.2f}"
    form = RefundForm(request.POST or None, initial=initial)
    if form.is_bound and form.is_valid():
        try:
            given = refund(client, **form.cleaned_data, by=request.user)
        except ValidationError as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{given} of {given.amount_in_words} saved.")
            return redirect(given)
    title, crumbs = f"Refund to {client}", account_crumbs(client)
    return form_page(request, form, title=title, crumbs=crumbs)


def strike(request: HttpRequest, pk: int) -> HttpResponse:
    payment = get_object_or_404(Payment.objects.for_list(), pk=pk)
    form = StrikeOutForm(request.POST or None)
    if form.is_bound and form.is_valid():
        try:
            strike_out(payment, **form.cleaned_data, by=request.user)
        except ValidationError as refusal:
            form.add_error(None, refusal)
        else:
            messages.success(request, f"{payment} struck out.")
            return redirect(payment)
    crumbs = [*account_crumbs(payment.client), *trail(payment)]
    title = f"Strike out {payment} of {payment.amount_in_words}"
    return form_page(request, form, title=title, crumbs=crumbs, action="Strike out")
