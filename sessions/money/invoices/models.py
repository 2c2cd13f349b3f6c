"""Invoices, deposit invoices and credit notes, as they were issued."""

from datetime import date
from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Case, DecimalField, F, Q, When
from django.db.models.functions import Round
from django.urls import reverse

from sessions.clients.models import Client
from sessions.money.models import MoneyPaper
from sessions.money.sums import summed
from sessions.terms.currencies import figures
from sessions.terms.taxes import TaxRow, read_taxes

AMOUNT = {"max_digits": 12, "decimal_places": 2}


class InvoiceKind(models.TextChoices):
    INVOICE = "invoice", "Invoice"
    DEPOSIT = "deposit", "Deposit invoice"
    CREDIT_NOTE = "credit_note", "Credit note"


class InvoiceQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self if user.has_perm("studio_sessions.see_money") else self.none()

    def charging(self):
        """What a client is to pay: all but credit notes."""
        return self.exclude(kind=InvoiceKind.CREDIT_NOTE)

    def for_list(self):
        return self.select_related("client", "issued_by", "credits")

    def with_balance(self):
        """`credited` and `paid` so far, and `balance`, what of the total is still open: below 0 where more
        was paid than is asked since a credit note. Of a credit note it is 0: its invoice has it."""
        allocations = self.model._meta.get_field("allocations").related_model.objects.all()
        annotated = self.annotate(
            credited=summed(Invoice.objects.all(), "credits", "total"),
            paid=summed(allocations, "invoice"),
        )
        left = Round(F("total") - F("credited") - F("paid"), 2)
        return annotated.annotate(
            balance=Case(When(kind=InvoiceKind.CREDIT_NOTE, then=Decimal(0)), default=left)
        )

    def still_open(self):
        """Not yet paid, or only in part."""
        return self.with_balance().filter(balance__gt=0)

    def overdue(self, on: date):
        """Open, and due before that day."""
        return self.still_open().filter(due_on__lt=on)

    def of_session(self, session):
        """What bills the session or asks for its deposit, with what was credited of that."""
        papers = Q(lines__money_paper__session=session)
        credited = Q(credits__lines__money_paper__session=session)
        found = Invoice.objects.filter(papers | credited).values("pk")
        return self.filter(pk__in=found)


class Invoice(models.Model):
    """An invoice, a deposit invoice or a credit note: neither it nor its lines ever change.

    Numbers of a kind run from 1 without a gap (`sessions/constraints/` keeps all of it). Amounts are
    what the client is charged; of a credit note, what they no longer are, so they are positive, too.
    """

    kind = models.CharField(max_length=11, choices=InvoiceKind)
    number = models.PositiveIntegerField()
    client = models.ForeignKey(Client, models.PROTECT, related_name="invoices")
    issued_at = models.DateTimeField(auto_now_add=True)
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    dated = models.DateField()
    due_on = models.DateField("due", null=True, blank=True)
    currency = models.CharField(max_length=3)
    credits = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="credit_notes"
    )
    as_issued = models.JSONField(
        default=dict, help_text="Who it is from and to, as they called themselves that day."
    )
    tax_rows = models.JSONField(default=list, help_text="Taxable amount and tax of each rate.")
    net = models.DecimalField(**AMOUNT)
    tax = models.DecimalField(**AMOUNT)
    total = models.DecimalField(**AMOUNT)
    line_count = models.PositiveSmallIntegerField()
    note = models.TextField(blank=True)

    objects = InvoiceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("kind", "number", name="invoice_number_once"),
            models.CheckConstraint(
                condition=Q(kind=InvoiceKind.CREDIT_NOTE, credits__isnull=False)
                | (~Q(kind=InvoiceKind.CREDIT_NOTE) & Q(credits__isnull=True)),
                name="credit_note_credits_an_invoice",
            ),
        ]
        ordering = ["-issued_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("invoices:detail", args=[self.pk])

    @property
    def is_credit_note(self) -> bool:
        return self.kind == InvoiceKind.CREDIT_NOTE

    @property
    def total_in_figures(self) -> str:
        """With its currency; what a credit note takes away has a minus."""
        total = -self.total if self.is_credit_note else self.total
        return f"{figures(total, self.currency)} {self.currency}"

    @property
    def taxes(self) -> list[TaxRow]:
        """By rate."""
        return read_taxes(self.tax_rows)


class InvoiceLineQuerySet(models.QuerySet):
    def with_left(self):
        """`uncredited`: what of it no credit note credited; `left`: less what, of a deposit, was taken
        off an invoice. Both are negative where an invoice takes a deposit off."""
        lines = InvoiceLine.objects.all()
        credits = lines.filter(invoice__kind=InvoiceKind.CREDIT_NOTE)
        deductions = lines.filter(invoice__kind=InvoiceKind.INVOICE)
        given_back = credits.filter(of_line__invoice__kind=InvoiceKind.INVOICE)
        uncredited = F("net") - summed(credits, "of_line", "net")
        taken_off = summed(given_back, "of_line__of_line", "net") - summed(
            deductions, "of_line", "net"
        )
        return self.annotate(
            uncredited=Round(uncredited, 2, output_field=DecimalField(**AMOUNT)),
            left=Round(uncredited - taken_off, 2, output_field=DecimalField(**AMOUNT)),
        )

    def standing(self):
        """What was not credited whole."""
        return self.with_left().exclude(uncredited=0)

    def with_something_left(self):
        return self.with_left().exclude(left=0)

    def deposits(self):
        return self.filter(invoice__kind=InvoiceKind.DEPOSIT)

    def billing(self):
        """What bills a work order or the charge of a cancellation."""
        return self.filter(invoice__kind=InvoiceKind.INVOICE, money_paper__isnull=False)


class InvoiceLine(models.Model):
    """One amount at one rate. It comes from a quote (deposit), a work order or the charge of a
    cancellation; or from another line: the deposit that it takes off, what it credits; or neither."""

    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="lines")
    position = models.PositiveSmallIntegerField()
    what = models.TextField()
    quantity = models.CharField(max_length=60, blank=True)
    detail = models.TextField(blank=True, help_text="What the amount is made of, a line each.")
    tax_name = models.CharField(max_length=20)
    tax_percent = models.DecimalField(max_digits=5, decimal_places=2)
    net = models.DecimalField(**AMOUNT)
    money_paper = models.ForeignKey(
        MoneyPaper, models.PROTECT, null=True, blank=True, related_name="invoice_lines"
    )
    of_line = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="against"
    )

    objects = InvoiceLineQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("invoice", "position", name="invoice_line_position_once"),
            models.CheckConstraint(
                condition=Q(money_paper__isnull=True) | Q(of_line__isnull=True),
                name="invoice_line_of_one_source",
            ),
        ]
        ordering = ["invoice", "position"]

    def __str__(self) -> str:
        return self.what
