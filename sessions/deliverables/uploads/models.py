import uuid
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.db import models
from django.urls import reverse

from sessions.clients.orders import DeliverableKind
from sessions.clients.visible import OfAProject
from sessions.deliverables.models import Deliverable, DeliverableFile, Limiting
from sessions.songs.models import Song

KEPT = timedelta(days=7)  # since somebody last sent a piece
LONGEST_NOTE = 1000  # letters: a note goes along in a header line, which may have 8 kB


class UploadState(models.TextChoices):
    ARRIVING = "arriving", "Not complete"
    LANDED = "landed", "Uploaded"
    REFUSED = "refused", "Refused"


class UploadQuerySet(OfAProject):
    to_project = "song__project"

    def visible_to(self, user):
        """One's own, of songs that one still sees."""
        return super().visible_to(user).filter(by=user)

    def arriving(self):
        return self.filter(state=UploadState.ARRIVING)

    def unfinished(self, song: Song):
        return self.filter(song=song).exclude(state=UploadState.LANDED)

    def expired(self, now: datetime):
        return self.filter(touched_at__lt=now - KEPT)


class Upload(models.Model):
    """A file on its way in, piece by piece.

    `offset` says how many bytes are here for good; what else stands in the partial file is of a piece
    that was cut off. When all are here the file becomes one of a deliverable: of `add_to`, or of the
    one that everything of its batch is in.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    song = models.ForeignKey(Song, models.PROTECT, related_name="+")
    kind = models.CharField(max_length=20, choices=DeliverableKind)
    limiting = models.CharField("limiter", max_length=7, choices=Limiting, blank=True)
    note = models.CharField(max_length=LONGEST_NOTE, blank=True)
    batch = models.UUIDField()
    add_to = models.ForeignKey(Deliverable, models.PROTECT, null=True, blank=True, related_name="+")
    original_name = models.CharField(max_length=255)
    size_bytes = models.PositiveBigIntegerField()
    modified = models.BigIntegerField(default=0)  # by the sender's clock: tells like files apart
    offset = models.PositiveBigIntegerField(default=0)
    state = models.CharField(max_length=8, choices=UploadState, default=UploadState.ARRIVING)
    refusal = models.TextField(blank=True)
    file = models.ForeignKey(
        DeliverableFile, models.PROTECT, null=True, blank=True, related_name="+"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    touched_at = models.DateTimeField(auto_now_add=True, db_index=True)

    objects = UploadQuerySet.as_manager()

    class Meta:
        ordering = ["created_at", "original_name"]

    def __str__(self) -> str:
        return self.original_name

    def get_absolute_url(self) -> str:
        return reverse("uploads:pieces", args=[self.pk])

    @property
    def path(self) -> Path:
        """Of the partial file."""
        return Path(settings.FILE_UPLOAD_TEMP_DIR) / f"{self.pk.hex}.part"

    @property
    def is_whole(self) -> bool:
        return self.offset == self.size_bytes

    @property
    def percent(self) -> int:
        return 100 * self.offset // max(self.size_bytes, 1)

    @property
    def expires_at(self) -> datetime:
        return self.touched_at + KEPT
