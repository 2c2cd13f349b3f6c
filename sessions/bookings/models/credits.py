from django.db import models
from simple_history.models import HistoricalRecords

from sessions.bookings.models.sessions import RecordingSession
from sessions.clients.models import Person


class CreditRole(models.TextChoices):
    VOCALIST = "vocalist", "Vocalist"
    MUSICIAN = "musician", "Musician"
    PRODUCER = "producer", "Producer"
    RECORDING_ENGINEER = "recording_engineer", "Recording engineer"
    ASSISTANT_ENGINEER = "assistant_engineer", "Assistant engineer"
    MIXING_ENGINEER = "mixing_engineer", "Mixing engineer"
    MASTERING_ENGINEER = "mastering_engineer", "Mastering engineer"
    ARRANGER = "arranger", "Arranger"
    CONDUCTOR = "conductor", "Conductor"


class Credit(models.Model):
    """Who did what at a session."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="credits")
    person = models.ForeignKey(Person, models.PROTECT, related_name="credits")
    role = models.CharField(max_length=20, choices=CreditRole)
    instrument = models.CharField(max_length=60, blank=True)
    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "session", "person", "role", "instrument", name="credit_once_a_session"
            ),
        ]
        ordering = ["role", "person__name", "pk"]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_role_display().lower()}"
