from django.conf import settings
from django.db import models
from django.utils import timezone

from gear.editing.history import History
from sessions.bookings.models.sessions import RecordingSession


class ChallengeOutcome(models.TextChoices):
    OPEN = "open", "Waiting for an answer"
    CONFIRMED = "confirmed", "The hold was confirmed"
    RELEASED = "released", "The hold was released"
    LAPSED = "lapsed", "The hold lapsed"
    WITHDRAWN = "withdrawn", "The challenge was withdrawn"


WON = {ChallengeOutcome.RELEASED, ChallengeOutcome.LAPSED}  # by the challenger


class ChallengeQuerySet(models.QuerySet):
    def open(self):
        return self.filter(outcome=ChallengeOutcome.OPEN)

    def due(self, now):
        """Those whose deadline has come without an answer."""
        return self.open().filter(deadline__lte=now)

    def about(self, session):
        """Those that the session has to answer, and those that it has made."""
        return self.filter(models.Q(hold=session) | models.Q(challenger=session))

    def among(self, sessions):
        """Those of which both sides are among these sessions."""
        return self.filter(hold__in=sessions, challenger__in=sessions)

    def for_list(self):
        return self.select_related("hold__project__client", "challenger__project__client")


class Challenge(models.Model):
    """A hold asked to confirm or release by a deadline, by a session that stands behind it."""

    hold = models.ForeignKey(RecordingSession, models.PROTECT, related_name="challenges")
    challenger = models.ForeignKey(RecordingSession, models.PROTECT, related_name="challenges_made")
    made_at = models.DateTimeField(default=timezone.now)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    deadline = models.DateTimeField()
    outcome = models.CharField(
        max_length=10, choices=ChallengeOutcome, default=ChallengeOutcome.OPEN
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    history = History()

    objects = ChallengeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "hold", condition=models.Q(outcome="open"), name="one_open_challenge_a_hold"
            ),
            models.CheckConstraint(
                condition=models.Q(deadline__gt=models.F("made_at")),
                name="challenge_leaves_time_to_answer",
            ),
            models.CheckConstraint(
                condition=~models.Q(hold=models.F("challenger")),
                name="hold_does_not_challenge_itself",
            ),
        ]
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.challenger} challenges {self.hold}"
