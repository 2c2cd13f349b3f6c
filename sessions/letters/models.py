from uuid import uuid4

from django.conf import settings
from django.contrib.contenttypes.fields import GenericForeignKey
from django.contrib.contenttypes.models import ContentType
from django.core.mail import EmailMessage
from django.db import models
from django.utils import timezone


class LetterState(models.TextChoices):
    WAITING = "waiting", "Waiting"
    SENT = "sent", "Sent"
    FAILED = "failed", "Failed"


class LetterQuerySet(models.QuerySet):
    def waiting(self):
        return self.filter(state=LetterState.WAITING)

    def untried(self):
        return self.waiting().filter(error="")

    def not_sent(self):
        return self.exclude(state=LetterState.SENT)

    def about_thing(self, thing: models.Model):
        return self.filter(about_type=ContentType.objects.get_for_model(thing), about_id=thing.pk)


class Letter(models.Model):
    """An e-mail to one address, as it was written: about what, and what came of it."""

    to = models.EmailField()
    kind = models.CharField(max_length=30, help_text="What it tells: confirmed, moved_up, summary…")
    about_type = models.ForeignKey(ContentType, models.PROTECT, related_name="+")
    about_id = models.PositiveBigIntegerField()
    about = GenericForeignKey("about_type", "about_id")
    subject = models.CharField(max_length=250)
    body = models.TextField()
    secret = models.CharField(
        max_length=500, blank=True, help_text="Stands in the body, until that has been sent."
    )
    sender = models.EmailField(blank=True, help_text="Empty: the setting DEFAULT_FROM_EMAIL.")
    message_id = models.UUIDField(default=uuid4, unique=True, editable=False)
    written_at = models.DateTimeField(default=timezone.now)
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    state = models.CharField(max_length=7, choices=LetterState, default=LetterState.WAITING)
    taken_up_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    error = models.TextField(blank=True)

    objects = LetterQuerySet.as_manager()

    class Meta:
        ordering = ["-written_at", "-pk"]
        indexes = [
            models.Index(fields=["about_type", "about_id"], name="letter_about"),
            models.Index(fields=["state", "written_at"], name="letter_by_state"),
        ]

    def __str__(self) -> str:
        return f"{self.subject}, to {self.to}"

    def forget_secret(self) -> None:
        """What only its reader may know stays in neither the database nor its backups."""
        if self.secret:
            self.body, self.secret = self.body.replace(self.secret, "…"), ""

    def as_message(self) -> EmailMessage:
        """One Message-ID however often it is sent. Reads self.files; costs a query."""
        sender = self.sender or settings.DEFAULT_FROM_EMAIL
        domain = sender.rpartition("@")[2].rstrip(">") or "localhost"
        message = EmailMessage(
            self.subject,
            self.body,
            sender,
            [self.to],
            headers={"Message-ID": f"<{self.message_id}@{domain}>"},
        )
        for file in self.files.all():
            message.attach(file.name, bytes(file.content).decode(), file.content_type)
        return message


class LetterFile(models.Model):
    """A file that goes with a letter."""

    letter = models.ForeignKey(Letter, models.CASCADE, related_name="files")
    name = models.CharField(max_length=100)
    content_type = models.CharField(max_length=100)
    content = models.BinaryField()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name
