"""Overtime that a client approved, as it was approved."""

from django.conf import settings
from django.db import models

from gear.editing.history import History
from sessions.bookings.models import RecordingSession
from sessions.clients.visible import OfAProject
from sessions.periods import duration_in_words, period_in_words
from sessions.signing.models import Signature
from sessions.terms.currencies import figures


class OvertimeQuerySet(OfAProject):
    to_project = "session__project"

    def standing(self):
        """Those that were not voided."""
        return self.filter(voided_at__isnull=True)

    def for_list(self):
        return self.select_related("signature__taken_by", "voided_by")


class Overtime(models.Model):
    """Time beyond what was booked, signed for by the client before or while it is worked.

    What was approved never changes, which the database keeps; it may be voided once, by whom and
    why, and a new one may take its place (`sessions/constraints/`).
    """

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="overtime")
    starts_at = models.DateTimeField("from")
    ends_at = models.DateTimeField("until")
    signature = models.OneToOneField(Signature, models.PROTECT, related_name="overtime")
    currency = models.CharField(max_length=3, blank=True)
    total = models.DecimalField(
        max_digits=12,
        decimal_places=2,
        null=True,
        blank=True,
        help_text="With tax, on top of what was agreed before; empty where no price was stated.",
    )
    voided_at = models.DateTimeField(null=True, blank=True)
    voided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    void_reason = models.CharField(max_length=200, blank=True)
    history = History()

    objects = OvertimeQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "overtime"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="overtime_ends_after_it_starts",
            ),
        ]
        ordering = ["starts_at", "pk"]

    def __str__(self) -> str:
        length = duration_in_words(self.ends_at - self.starts_at)
        return f"{period_in_words(self.starts_at, self.ends_at)} ({length})"

    @property
    def price_in_words(self) -> str:
        if self.total is None:
            return "no price stated"
        return f"{figures(self.total, self.currency)} {self.currency}"

    @property
    def is_void(self) -> bool:
        return self.voided_at is not None
