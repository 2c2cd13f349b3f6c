"""Forms of what is to be issued. Nothing of them is saved: what they ask for is drafted, shown, issued."""

from collections.abc import Collection
from datetime import date
from decimal import Decimal

from django import forms
from django.utils import timezone

from gear.editing.figures import FigureField
from sessions.bookings.filters import DAY
from sessions.clients.models import Client
from sessions.editing.rules import CURRENCY, PERCENT
from sessions.money.invoices.billing import deposits_left, papers_to_bill
from sessions.money.invoices.drafting import OtherLine, default_due_on
from sessions.money.invoices.models import Invoice, InvoiceLine
from sessions.money.invoices.owed import obstacles
from sessions.money.models import MoneyPaper
from sessions.rooms.models import HouseRules
from sessions.terms.currencies import figures, plain, rounded


class PapersField(forms.ModelMultipleChoiceField):
    """What is to be billed; the label of what can’t be yet says why."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, paper: MoneyPaper) -> str:
        session = paper.session
        total = f"{figures(paper.total, paper.currency)} {paper.currency}"
        said = f"{paper}: {session.title}, {session.period_in_words} · {total}"
        return f"{said}. {why}" if (why := self.obstacles.get(paper.pk)) else said


class DepositsField(forms.ModelMultipleChoiceField):
    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, deposit: Invoice) -> str:
        about = deposit.lines.all()[0].money_paper.session
        return f"{deposit}: {about.title} · {deposit.total_in_figures}"


def _note(label: str, help_text: str, **more) -> forms.CharField:
    area = forms.Textarea(attrs={"rows": 2})
    return forms.CharField(
        label=label, help_text=help_text, max_length=2000, widget=area, **{"required": False} | more
    )


def _due_on() -> forms.DateField:
    return forms.DateField(
        label="Due",
        error_messages={"invalid": "Enter a day, such as 2026-06-01."},
        **DAY | {"validators": [*DAY["validators"], _not_over]},
    )


def _not_over(due_on: date) -> None:
    """What is issued is dated today."""
    if due_on < timezone.localdate():
        raise forms.ValidationError("This day is over: enter today or a later one.")


class OtherLineForm(forms.Form):
    """A line that no session charges; left empty, it is none."""

    what = forms.CharField(max_length=200, required=False, label="Other line")
    quantity = forms.CharField(
        max_length=60, required=False, widget=forms.TextInput(attrs={"class": "short"})
    )
    net = FigureField(
        label="Amount before tax",
        required=False,
        max_digits=10,
        decimal_places=2,
        min_value=Decimal("0.01"),
    )
    tax_percent = FigureField(
        label="Tax, %",
        unit="%",
        required=False,
        max_digits=5,
        decimal_places=2,
        validators=PERCENT,
    )

    def clean(self):
        given = self.cleaned_data
        if given.get("what") and "net" in given and given["net"] is None:
            self.add_error("net", "Enter the amount before tax, such as 60.00.")
        if given.get("net") and not given.get("what"):
            self.add_error("what", "Say what it is, such as: a hard disk.")
        if given.get("net") and "tax_percent" in given and given["tax_percent"] is None:
            self.add_error("tax_percent", "Enter the rate; 0 where there is no tax.")
        return given

    @property
    def line(self) -> OtherLine | None:
        given = self.cleaned_data
        if not given.get("what"):
            return None
        return OtherLine(given["what"], given["net"], given["tax_percent"], given["quantity"])


OtherLines = forms.formset_factory(OtherLineForm, extra=3, max_num=20, absolute_max=20)


class InvoiceForm(forms.Form):
    """What is billed to a client."""

    papers = PapersField(
        MoneyPaper.objects.none(), label="Work orders and cancellations", required=False
    )
    deposits = DepositsField(
        Invoice.objects.none(),
        label="Deduct deposits of other sessions, too",
        required=False,
        help_text="Deposits of the sessions above are deducted in any case.",
    )
    due_on = _due_on()
    currency = forms.CharField(
        max_length=3,
        validators=[CURRENCY],
        help_text="Where nothing above is chosen.",
        widget=forms.TextInput(attrs={"class": "short", "autocomplete": "off"}),
    )
    note = _note("Note", "Printed below the sums.")

    def __init__(self, client: Client, data=None, *, asked: Collection[int] = ()):
        """`asked` are keys of papers that are chosen at first; else it is all that can be billed in
        one currency."""
        super().__init__(data)
        self.rules = HouseRules.current()
        papers = papers_to_bill().filter(session__project__client=client)
        papers = papers.order_by("session__starts_at", "pk")
        self.fields["papers"].queryset = papers
        self.fields["papers"].obstacles = refused = obstacles(papers)
        left = Invoice.objects.filter(pk__in=deposits_left(client).values("invoice"))
        self.fields["deposits"].queryset = left.prefetch_related("lines__money_paper__session")
        for name in ("papers", "deposits"):
            field = self.fields[name]
            field.error_messages["invalid_choice"] = "Something chosen was billed meanwhile."
            if not self.is_bound and not field.queryset:
                del self.fields[name]
        if "papers" not in self.fields:
            self.fields["currency"].help_text = ""
        ready = [each for each in papers if each.pk not in refused]
        ready = [each for each in ready if each.pk in asked] if asked else ready
        currency = ready[0].currency if ready else self.rules.currency
        self.initial = {
            "papers": [each for each in ready if each.currency == currency],
            "due_on": default_due_on(client),
            "currency": currency,
        }
        self.others = OtherLines(data, prefix="other")
        for each in self.others:
            each.initial["tax_percent"] = plain(self.rules.tax_percent)

    def is_valid(self) -> bool:
        return super().is_valid() & self.others.is_valid()

    @property
    def what(self) -> dict:
        """What is asked for, as `draft_of_invoice` takes it; before anything was sent, what is chosen
        at first."""
        if not self.is_bound:
            return self.initial
        lines = [each.line for each in self.others if each.line]
        return self.cleaned_data | {"other": lines, "tax_name": self.rules.tax_name}

    def refuse(self, refusal: forms.ValidationError) -> None:
        if self.is_bound:
            self.add_error("papers" if "papers" in self.fields else None, refusal)


class DepositForm(forms.Form):
    amount = FigureField(
        label="Deposit, tax included", max_digits=12, decimal_places=2, min_value=Decimal("0.01")
    )
    due_on = _due_on()
    note = _note("Note", "Printed below the sums.")

    def refuse(self, refusal: forms.ValidationError) -> None:
        self.add_error("amount", refusal)


class CreditForm(forms.Form):
    """All that is left of an invoice, or an amount for some of its lines."""

    whole = forms.BooleanField(
        label="All that is left",
        required=False,
        initial=True,
        help_text="Untick it to credit a part, and enter the amounts.",
    )
    note = _note("Why", "Printed on the credit note.", required=True)

    def __init__(self, lines: list[InvoiceLine], *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.lines = lines
        for line in lines:
            currency = line.invoice.currency
            self.fields[f"line_{line.pk}"] = FigureField(
                label=line.what,
                required=False,
                max_digits=12,
                decimal_places=2,
                help_text=f"Before tax, at {line.tax_percent.normalize():f} %. Left to credit: "
                f"{figures(line.left, currency)} {currency}.",
            )
        self.order_fields(["whole", *(f"line_{line.pk}" for line in lines)])

    def clean(self):
        if self.cleaned_data.get("whole") and self._typed:
            self.add_error("whole", "Untick this, or leave the amounts empty.")
        return super().clean()

    @property
    def amounts(self) -> dict[int, Decimal]:
        """By the keys of the lines."""
        if self.cleaned_data["whole"]:
            return {line.pk: rounded(line.left, line.invoice.currency) for line in self.lines}
        return self._typed

    @property
    def _typed(self) -> dict[int, Decimal]:
        given = ((line.pk, self.cleaned_data.get(f"line_{line.pk}")) for line in self.lines)
        return {key: amount for key, amount in given if amount}

    def refuse(self, refusal: forms.ValidationError) -> None:
        self.add_error(None, refusal)
