from django.conf import settings
from django.db import models


class PaperState(models.TextChoices):
    WAITING = "waiting", "Waiting"
    MAKING = "making", "Being made"
    KEPT = "kept", "Kept"
    FAILED = "failed", "Failed"


class KeptPaper(models.Model):
    """A paper as it was made once, found again by the hash of all that it prints.

    `kind` and `subject` say what it is about: the recall sheet of a song, the report of a session.
    """

    key = models.CharField(max_length=64, unique=True)
    kind = models.CharField(max_length=20, help_text="The name of its PaperKind.")
    subject = models.PositiveBigIntegerField(help_text="The key of the song or the session.")
    title = models.TextField()
    size = models.CharField(max_length=6)
    address = models.TextField(help_text="Of the page that it belongs to.")
    state = models.CharField(max_length=7, choices=PaperState, default=PaperState.WAITING)
    started_at = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField(null=True, blank=True)
    error = models.TextField(blank=True)
    file = models.FileField(upload_to="papers/%Y/%m", blank=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.title


class KnownPaper(models.Model):
    """The paper that somebody was given last for what they asked.

    `stamp` says what that was, and how the house stood: whatever decides what is printed and who may
    see it. While the house stands so, they are given that paper without further questions.
    """

    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    paper = models.ForeignKey(KeptPaper, models.CASCADE, related_name="known_to")
    stamp = models.CharField(max_length=64)

    class Meta:
        constraints = [
            models.UniqueConstraint("user", "paper", name="paper_known_once_to_each"),
        ]
        indexes = [models.Index(fields=["stamp"], name="known_paper_by_stamp")]
        ordering = ["-pk"]

    def __str__(self) -> str:
        """Reads self.user and self.paper; if not loaded, this causes SQL queries."""
        return f"{self.paper}, known to {self.user}"
