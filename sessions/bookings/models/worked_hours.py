from django.db import models

from gear.editing.versions import Versioned
from sessions.bookings.models.sessions import RecordingSession
from sessions.periods import period_in_words


class WorkedHours(Versioned):
    """Hours worked inside a session: planned ones within a lockout, and the actual ones of any."""

    class Kind(models.TextChoices):
        PLANNED = "planned", "Planned"
        ACTUAL = "actual", "Actual"

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="worked_hours")
    kind = models.CharField(max_length=7, choices=Kind)
    starts_at = models.DateTimeField("from")
    ends_at = models.DateTimeField("to")
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        verbose_name_plural = "worked hours"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="worked_hours_end_after_they_start",
            ),
        ]
        ordering = ["starts_at", "pk"]

    def __str__(self) -> str:
        return period_in_words(self.starts_at, self.ends_at)
