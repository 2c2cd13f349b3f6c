from django.conf import settings
from django.db import models
from django.utils import timezone

from sessions.bookings.models.sessions import RecordingSession


class SentSummary(models.Model):
    """That the summary of a session's day was sent by e-mail: what it said, and who was told."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="summaries")
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    recipients = models.JSONField(help_text="The addresses whose letter the mail server took.")
    subject = models.CharField(max_length=150)
    body = models.TextField()
    for_the_house = models.TextField(blank=True, help_text="What only the house's own letters say.")

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.subject}, {self.at:%Y-%m-%d %H:%M}"
