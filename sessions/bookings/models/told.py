from django.conf import settings
from django.db import models
from django.utils import timezone

from sessions.bookings.models.sessions import RecordingSession
from sessions.clients.models import Client, Person
from sessions.letters.models import Letter


class Told(models.Model):
    """What one address was told of one session by one letter; the last row is what its reader knows.

    No letter: they changed the session themselves. No facts: it does not concern them any more.
    """

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="told")
    letter = models.ForeignKey(
        Letter, models.CASCADE, null=True, blank=True, related_name="told_of_sessions"
    )
    address = models.EmailField()
    person = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="told_of_sessions"
    )
    client = models.ForeignKey(
        Client, models.PROTECT, null=True, blank=True, related_name="told_of_sessions"
    )
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    facts = models.JSONField(null=True, blank=True)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        verbose_name_plural = "told"
        ordering = ["pk"]
        indexes = [models.Index(fields=["session", "address"], name="told_of_session")]

    def __str__(self) -> str:
        return f"{self.address} of {self.session}"
