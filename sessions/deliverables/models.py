from django.conf import settings
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from sessions.songs.models import Song
from sessions.takes.models import Take


class DeliverableKind(models.TextChoices):
    ROUGH_MIX = "rough_mix", "Rough mix"
    MULTITRACK = "multitrack", "Consolidated multitrack"
    STEMS = "stems", "Stems"
    SESSION_ARCHIVE = "session_archive", "Workstation session archive"
    INSTRUMENTAL = "instrumental", "Instrumental"
    A_CAPPELLA = "a_cappella", "A cappella"
    DOCUMENTATION = "documentation", "Documentation"


class DeliverableQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(song__in=Song.objects.visible_to(user))

    def for_list(self):
        return self.select_related("song__project", "created_by").prefetch_related("files")


class Deliverable(models.Model):
    """Something handed over for a song: a rough mix, stems, an archive."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="deliverables")
    kind = models.CharField(max_length=20, choices=DeliverableKind)
    version = models.PositiveSmallIntegerField(default=1)
    note = models.TextField(blank=True)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    objects = DeliverableQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("song", "kind", "version", name="deliverable_version_once"),
        ]
        ordering = ["-created_at"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.version}"

    def get_absolute_url(self) -> str:
        return reverse("deliverables:detail", args=[self.pk])


class AudioFile(models.Model):
    """A file as it was handed in, never altered, with what was measured on it.

    A level or loudness is null where the file has none: silence has no peak in decibels, a file
    under 0.4 s no integrated loudness, one under a minute no meaningful loudness range.
    """

    deliverable = models.ForeignKey(
        Deliverable, models.PROTECT, null=True, blank=True, related_name="files"
    )
    take = models.ForeignKey(Take, models.PROTECT, null=True, blank=True, related_name="files")
    file = models.FileField(upload_to="audio/%Y/%m", max_length=255)
    original_name = models.CharField(max_length=255)
    size_bytes = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64)
    container = models.CharField(max_length=40)
    codec = models.CharField(max_length=40)
    sample_rate = models.PositiveIntegerField()
    bit_depth = models.PositiveSmallIntegerField(null=True, blank=True)
    channels = models.PositiveSmallIntegerField()
    channel_layout = models.CharField(max_length=40, blank=True)
    frames = models.PositiveBigIntegerField()
    duration_seconds = models.FloatField()
    sample_peak_dbfs = models.FloatField(null=True, blank=True)
    true_peak_dbtp = models.FloatField(null=True, blank=True)
    integrated_lufs = models.FloatField(null=True, blank=True)
    loudness_range_lu = models.FloatField(null=True, blank=True)
    waveform = models.JSONField(default=list)
    measured_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(deliverable__isnull=False, take__isnull=True)
                | models.Q(deliverable__isnull=True, take__isnull=False),
                name="audio_file_of_deliverable_or_take",
            ),
        ]
        ordering = ["original_name"]

    def __str__(self) -> str:
        return self.original_name


class Delivery(models.Model):
    """A sending of deliverables: to whom, by which link, what was opened and received."""

    deliverables = models.ManyToManyField(Deliverable, related_name="deliveries")
    recipients = models.JSONField(default=list, help_text="E-mail addresses.")
    link_token = models.CharField(max_length=64, unique=True)
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    sent_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField(null=True, blank=True)
    manifest = models.JSONField(default=list, blank=True)
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name_plural = "deliveries"
        ordering = ["-sent_at"]

    def __str__(self) -> str:
        return ", ".join(self.recipients)
