"""What was quoted and worked, as it was issued."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from sessions.bookings.models import RecordingSession, Status
from sessions.clients.visible import OfAProject
from sessions.signing.models import Signature
from sessions.terms.currencies import figures
from sessions.terms.taxes import TaxRow, read_taxes


class PaperKind(models.TextChoices):
    QUOTE = "quote", "Quote"
    WORK_ORDER = "work_order", "Work order"
    CANCELLATION = "cancellation", "Cancellation charge"


ISSUED_AT_WILL = (PaperKind.QUOTE, PaperKind.WORK_ORDER)  # the other comes of a cancellation


class MoneyPaperQuerySet(OfAProject):
    to_project = "session__project"

    def not_taken_back(self):
        """All but charges of cancellations whose session was reopened since."""
        since = Q(session__status=Status.CANCELLED, issued_at__gte=F("session__status_since"))
        return self.exclude(Q(kind=PaperKind.CANCELLATION) & ~since)


class MoneyPaper(models.Model):
    """A quote, a work order or the charge of a cancellation as it was issued: its lines and sums never
    change afterwards.

    Numbers of a kind run from 1 without a gap. Both are kept by the database: `sessions/constraints/`.
    """

    kind = models.CharField(max_length=12, choices=PaperKind)
    number = models.PositiveIntegerField()
    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="money_papers")
    issued_at = models.DateTimeField(auto_now_add=True)
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    currency = models.CharField(max_length=3)
    lines = models.JSONField(default=list)
    as_issued = models.JSONField(
        default=dict, help_text="Everything else on it: heading, hours, rules and terms, in words."
    )
    net = models.DecimalField(max_digits=12, decimal_places=2)
    tax = models.DecimalField(max_digits=12, decimal_places=2)
    total = models.DecimalField(max_digits=12, decimal_places=2)
    deposit = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    valid_until = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)

    objects = MoneyPaperQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("kind", "number", name="money_paper_number_once"),
        ]
        ordering = ["-issued_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.number}"

    @property
    def taxes(self) -> list[TaxRow]:
        """By rate. What was issued before papers kept them names its one rate above the total."""
        if "taxes" in self.as_issued:
            return read_taxes(self.as_issued["taxes"])
        sums = [name for name, _ in self.as_issued.get("sums", [])]
        total = next((at for at, name in enumerate(sums) if name.startswith("Total, ")), 0)
        if not total:
            return []
        name, _, percent = sums[total - 1].removesuffix(" %").rpartition(", ")
        return [TaxRow(name, Decimal(percent), self.net, self.tax)]

    @property
    def total_in_words(self) -> str:
        return f"{figures(self.total, self.currency)} {self.currency}"

    @property
    def was_taken_back(self) -> bool:
        """Of the charge of a cancellation, whether its session was reopened since."""
        if self.kind != PaperKind.CANCELLATION:
            return False
        session = self.session
        return session.status != Status.CANCELLED or self.issued_at < session.status_since

    @property
    def replaced_by(self) -> "MoneyPaper | None":
        """The newest of its kind for its session, if that is another. Costs a query."""
        same = MoneyPaper.objects.filter(session=self.session_id, kind=self.kind)
        return same.filter(number__gt=self.number).order_by("number").last()


class OrderSignature(models.Model):
    """That the client signed a work order. A later change asks for another order and another
    signature; rows never change (`sessions/constraints/`)."""

    paper = models.OneToOneField(MoneyPaper, models.PROTECT, related_name="signed")
    signature = models.OneToOneField(Signature, models.PROTECT, related_name="work_order")

    def __str__(self) -> str:
        return f"{self.paper}, signed by {self.signature}"
