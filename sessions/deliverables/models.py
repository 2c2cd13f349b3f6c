from fractions import Fraction

from django.conf import settings
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from sessions.clients.orders import DeliverableKind
from sessions.deliverables import formats
from sessions.songs.models import Song

# What is measured when it is handed in. An archive and papers are not sound.
SOUND_KINDS = (
    DeliverableKind.ROUGH_MIX,
    DeliverableKind.INSTRUMENTAL,
    DeliverableKind.A_CAPPELLA,
    DeliverableKind.STEMS,
    DeliverableKind.MULTITRACK,
)


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
        ordering = ["-created_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.version}"

    def get_absolute_url(self) -> str:
        return reverse("deliverables:detail", args=[self.pk])


LEVELS = ("sample_peak_dbfs", "true_peak_dbtp", "integrated_lufs", "loudness_range_lu")


def _to_a_tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1) + 0.0  # never "-0.0"


class AudioFileQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(deliverable__song__in=Song.objects.visible_to(user))

    def handed_in_before(self, file: "AudioFile"):
        """Files of the same song with the very same content, the first one first."""
        same = self.filter(sha256=file.sha256, deliverable__song=file.deliverable.song_id)
        return same.filter(pk__lt=file.pk).select_related("deliverable").order_by("pk")


class AudioFile(models.Model):
    """A file as it was handed in, never altered, with what was measured on it.

    A level or loudness is null where the file has none: silence has no peak in decibels, a file
    under 0.4 s no integrated loudness, one under a minute no meaningful loudness range.
    `waveform`, `bext`, `ixml` and `notes` are as `measuring.Measurement` has them.
    """

    deliverable = models.ForeignKey(Deliverable, models.PROTECT, related_name="files")
    file = models.FileField(upload_to="audio/%Y/%m", max_length=255)
    original_name = models.CharField(max_length=255)
    size_bytes = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64)
    container = models.CharField(max_length=40)
    codec = models.CharField(max_length=40)
    lossless = models.BooleanField()
    sample_rate = models.PositiveIntegerField()
    bit_depth = models.PositiveSmallIntegerField(null=True, blank=True)
    channels = models.PositiveSmallIntegerField()
    channel_layout = models.CharField(max_length=400, blank=True)
    frames = models.PositiveBigIntegerField()
    duration_seconds = models.FloatField()
    sample_peak_dbfs = models.FloatField(null=True, blank=True)
    true_peak_dbtp = models.FloatField(null=True, blank=True)
    integrated_lufs = models.FloatField(null=True, blank=True)
    loudness_range_lu = models.FloatField(null=True, blank=True)
    waveform = models.JSONField(default=list)
    bext = models.JSONField(null=True, blank=True)
    ixml = models.JSONField(null=True, blank=True)
    notes = models.JSONField(default=list, blank=True)
    measured_at = models.DateTimeField(auto_now_add=True)

    objects = AudioFileQuerySet.as_manager()

    class Meta:
        ordering = ["original_name", "pk"]

    def __str__(self) -> str:
        return self.original_name

    @property
    def format(self) -> formats.Format:
        return formats.format_of(self.container)

    @property
    def codec_in_words(self) -> str:
        return formats.codec_in_words(self.codec)

    @property
    def rate_in_words(self) -> str:
        return f"{self.sample_rate / 1000:g} kHz"

    @property
    def depth_in_words(self) -> str:
        """As `BitDepth` says it; "" for a lossy codec, which has none."""
        if self.bit_depth is None:
            return ""
        return f"{self.bit_depth} bit" + (" float" if formats.is_floating(self.codec) else "")

    @property
    def channels_in_words(self) -> str:
        layout = self.channel_layout
        if layout in ("mono", "stereo"):
            return layout
        named = f" ({layout})" if layout and not layout.endswith("channels") else ""
        return f"{self.channels} channels{named}" if self.channels != 1 else f"1 channel{named}"

    @property
    def length(self) -> str:
        """Minutes, seconds and tenths (3:05.2), with hours in front from the first hour on."""
        seconds, tenths = divmod(round(Fraction(10 * self.frames, self.sample_rate)), 10)
        minutes, seconds = divmod(seconds, 60)
        hours, minutes = divmod(minutes, 60)
        start = f"{hours}:{minutes:02}" if hours else f"{minutes}"
        return f"{start}:{seconds:02}.{tenths}"

    @property
    def levels(self) -> dict[str, float | None]:
        """Peaks and loudness to the tenth that is shown; meters agree no more closely."""
        return {name: _to_a_tenth(getattr(self, name)) for name in LEVELS}
