"""Money that clients paid, what it was for, and what they were given back. Decimal; currencies never mix."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Case, F, Q, Value, When
from django.db.models.functions import Round
from django.urls import reverse

from sessions.clients.models import Client
from sessions.editing.rules import CURRENCY, one_of
from sessions.money.invoices.models import Invoice
from sessions.money.sums import MONEY, summed
from sessions.terms.currencies import figures


class Method(models.TextChoices):
    TRANSFER = "transfer", "Bank transfer"
    CARD = "card", "Card"
    CASH = "cash", "Cash"
    CHEQUE = "cheque", "Cheque"
    OTHER = "other", "Other"


class PaymentQuerySet(models.QuerySet):
    def for_list(self):
        """With whom it is of, and what of it is free, as `free`."""
        return self.select_related("client", "recorded_by", "reverses", "reversed_by").with_free()

    def with_free(self):
        """`free`: received, and neither used for an invoice nor given back; 0 of what was given back."""
        left = Round(F("amount") - summed(Allocation.objects.all(), "payment"), precision=2)
        nothing = Value(Decimal(0))
        return self.annotate(free=Case(When(amount__gt=0, then=left), default=nothing))

    def of(self, client: Client, currency: str):
        return self.filter(client=client, currency=currency)

    def in_order(self):
        """As it was received: what came first is used and given back first."""
        return self.order_by("received_on", "pk")


class Payment(models.Model):
    """Money received from a client or, where the amount is negative, given back to them.

    A row never changes (`sessions/constraints/`): one that was entered by mistake is struck out by
    another against it, which it `reverses`.
    """

    client = models.ForeignKey(Client, models.PROTECT, related_name="payments")
    received_on = models.DateField("received on")
    amount = models.DecimalField(**MONEY)
    currency = models.CharField(max_length=3, validators=[CURRENCY])
    method = models.CharField(max_length=8, choices=Method, default=Method.TRANSFER)
    reference = models.CharField(
        max_length=80, blank=True, help_text="As the bank or the receipt has it."
    )
    note = models.CharField(max_length=200, blank=True)
    reverses = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    objects = PaymentQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(amount=0), name="payment_of_something"),
        ]
        indexes = [models.Index(fields=["client", "currency"], name="payment_of_client")]
        ordering = ["-received_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("payments:detail", args=[self.pk])

    @property
    def kind(self) -> str:
        if self.reverses_id:
            return "Correction"
        return "Payment" if self.amount > 0 else "Refund"

    @property
    def amount_in_words(self) -> str:
        return f"{figures(self.amount, self.currency)} {self.currency}"

    @property
    def is_struck_out(self) -> bool:
        """Costs a query unless `reversed_by` was loaded."""
        return hasattr(self, "reversed_by")


class Allocation(models.Model):
    """What of a payment went where: to an invoice, or back to the client by a refund.

    A row never changes: a negative one undoes what an earlier one of the same payment and the
    same invoice said.
    """

    payment = models.ForeignKey(Payment, models.PROTECT, related_name="allocations")
    invoice = models.ForeignKey(
        Invoice, models.PROTECT, null=True, blank=True, related_name="allocations"
    )
    refund = models.ForeignKey(
        Payment, models.PROTECT, null=True, blank=True, related_name="taken_from"
    )
    amount = models.DecimalField(**MONEY)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(amount=0), name="allocation_of_something"),
            models.CheckConstraint(
                condition=one_of("invoice", "refund"), name="allocation_to_invoice_or_refund"
            ),
        ]
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.amount} of {self.payment}"
