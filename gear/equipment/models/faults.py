from django.conf import settings
from django.db import models

from gear.editing.versions import Versioned
from gear.equipment.models.choices import FaultState
from gear.equipment.models.units import Unit


class FaultQuerySet(models.QuerySet):
    def open(self):
        return self.exclude(state=FaultState.CLOSED)

    def for_list(self):
        return self.select_related("unit__model", "reported_by")


class Fault(Versioned):
    """Something wrong with a unit: reported, worked on, closed. Never deleted."""

    unit = models.ForeignKey(Unit, models.PROTECT, related_name="faults")
    channel = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Of a unit with several; empty: all of it."
    )
    description = models.TextField()
    state = models.CharField(max_length=10, choices=FaultState, default=FaultState.OPEN)
    reported_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    reported_at = models.DateTimeField(auto_now_add=True)
    remedy = models.TextField(blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    objects = FaultQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(state=FaultState.CLOSED, closed_at__isnull=False)
                | (~models.Q(state=FaultState.CLOSED) & models.Q(closed_at__isnull=True)),
                name="fault_closed_has_a_time",
            ),
        ]
        ordering = ["-reported_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.channel_in_words}{self.description}"[:60]

    @property
    def channel_in_words(self) -> str:
        """What the description begins with where only a channel is meant."""
        return f"Channel {self.channel}: " if self.channel else ""
