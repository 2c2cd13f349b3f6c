"""Forms of what was received and given back, and of what it is for."""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.utils import timezone

from gear.editing.figures import FigureField
from sessions.editing.rules import CURRENCY
from sessions.money.invoices.models import Invoice
from sessions.money.payments.models import Method, Payment
from sessions.terms.currencies import rounded

#: 1,250 or 1,250.50; in 250,50 the comma is the decimal one.
THOUSANDS = re.compile(r"\d{1,3}(,\d{3})+(\.\d*)?")


class AmountField(FigureField):
    """An amount of money; a comma or a space between thousands is no mistake."""

    def __init__(self, **kwargs):
        super().__init__(max_digits=12, decimal_places=2, **kwargs)

    def to_python(self, value):
        if isinstance(value, str):
            value = "".join(value.split())
            value = value.replace(",", "") if THOUSANDS.fullmatch(value) else value
        return super().to_python(value)


class DayField(forms.DateField):
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    default_error_messages = {"invalid": "Enter a day, such as 2026-06-01."}


class InvoicesForm(forms.Form):
    """An amount for each of some invoices, which come with their balance."""

    def __init__(self, *args, invoices: Iterable[Invoice], **kwargs):
        super().__init__(*args, **kwargs)
        self.invoices = list(invoices)
        for invoice in self.invoices:
            label = f"{invoice}, for"
            self.fields[_name(invoice)] = AmountField(required=False, label=label)

    def rows(self) -> list[tuple[Invoice, forms.BoundField]]:
        return [(invoice, self[_name(invoice)]) for invoice in self.invoices]

    @property
    def facts(self) -> list[forms.BoundField]:
        """The other fields."""
        amounts = {_name(invoice) for invoice in self.invoices}
        return [field for field in self if field.name not in amounts]

    def clean(self):
        """The amounts are gathered as `to`, by their invoices."""
        cleaned = super().clean()
        amounts = {invoice: cleaned.pop(_name(invoice), None) for invoice in self.invoices}
        cleaned["to"] = {invoice: amount for invoice, amount in amounts.items() if amount}
        return cleaned

    def refuse(self, refusal: ValidationError) -> None:
        self.add_error(None, refusal)


class ReceiptForm(forms.Form):
    """Money that came or went."""

    received_on = DayField(label="Received on")
    amount = AmountField()
    currency = forms.CharField(max_length=3, validators=[CURRENCY])
    method = forms.ChoiceField(choices=Method, initial=Method.TRANSFER)
    reference = forms.CharField(max_length=80, required=False)
    note = forms.CharField(max_length=200, required=False)

    def refuse(self, refusal: ValidationError) -> None:
        self.add_error(None, refusal)


class PaymentForm(InvoicesForm, ReceiptForm):
    """A payment, and what it is for: nothing typed means what fell due first."""

    def clean(self):
        cleaned = super().clean()
        cleaned["to"] = cleaned["to"] or None
        return cleaned


class RefundForm(ReceiptForm):
    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["received_on"].label = "Paid on"


class StrikeOutForm(forms.Form):
    note = forms.CharField(
        label="Why", max_length=200, help_text="Such as: it was another client’s money."
    )


class PeriodForm(forms.Form):
    """From a day to a day, as the address says it."""

    since = DayField(label="From")
    until = DayField(label="To")

    def clean(self):
        cleaned = super().clean()
        if {"since", "until"} <= cleaned.keys() and cleaned["since"] > cleaned["until"]:
            self.add_error("until", "This is before the first day.")
        return cleaned


def period_of(request: HttpRequest) -> tuple[PeriodForm, date, date]:
    """What the address asks for; last month, where it asks for nothing or for what is no period."""
    until = timezone.localdate().replace(day=1) - timedelta(days=1)
    since = until.replace(day=1)
    form = PeriodForm(request.GET if "since" in request.GET else None)
    if form.is_bound and form.is_valid():
        return form, form.cleaned_data["since"], form.cleaned_data["until"]
    form.initial = {"since": since, "until": until}
    return form, since, until


def typed_amount(amount: Decimal, of: Invoice | Payment) -> str:
    """An amount as a field shows it."""
    return str(rounded(amount, of.currency))


def _name(invoice: Invoice) -> str:
    return f"for_{invoice.pk}"
