"""What was quoted and worked, as it was issued."""

from django.conf import settings
from django.db import models

from sessions.bookings.models import RecordingSession, Status


class PaperKind(models.TextChoices):
    QUOTE = "quote", "Quote"
    WORK_ORDER = "work_order", "Work order"


class MoneyPaperQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(session__in=RecordingSession.objects.visible_to(user))


class MoneyPaper(models.Model):
    """A quote or a work order as it was issued: its lines and sums never change afterwards.

    Numbers of a kind run from 1 without a gap. Both are kept by the database: `sessions/constraints.py`.
    """

    kind = models.CharField(max_length=10, choices=PaperKind)
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


def unbilled(sessions: models.QuerySet) -> models.QuerySet:
    """Of these sessions, the wrapped ones for which no work order was issued."""
    return sessions.filter(status=Status.WRAPPED).exclude(money_papers__kind=PaperKind.WORK_ORDER)
