from fractions import Fraction

from django.conf import settings
from django.db import models
from django.urls import reverse

from gear.editing.history import History
from sessions.clients.orders import DeliverableKind
from sessions.clients.visible import OfAProject
from sessions.deliverables import formats
from sessions.songs.models import Song

# What is measured once it is uploaded. An archive and papers are not sound.
SOUND_KINDS = tuple(
    kind
    for kind in DeliverableKind
    if kind not in (DeliverableKind.SESSION_ARCHIVE, DeliverableKind.DOCUMENTATION)
)


class Limiting(models.TextChoices):
    """Whether the mix was printed through a limiter, where that was said."""

    WITH = "with", "With limiter"
    WITHOUT = "without", "Without limiter"


class FileState(models.TextChoices):
    WAITING = "waiting", "Waiting to be measured"
    MEASURING = "measuring", "Being measured"
    MEASURED = "measured", "Measured"
    REFUSED = "refused", "Refused"
    AS_IS = "as_is", "Not sound"  # its checksum is known, nothing else is measured


UNFINISHED = (FileState.WAITING, FileState.MEASURING)
READY = (FileState.MEASURED, FileState.AS_IS)  # to be sent


class DeliverableQuerySet(OfAProject):
    to_project = "song__project"

    def for_list(self):
        return self.select_related(
            "song__project", "created_by", "mix_revision__setup"
        ).prefetch_related("files", "verdicts")

    def stems(self):
        return self.filter(kind=DeliverableKind.STEMS)


class Deliverable(models.Model):
    """Something handed over for a song: a rough mix, stems, an archive."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="deliverables")
    kind = models.CharField(max_length=20, choices=DeliverableKind)
    version = models.PositiveSmallIntegerField(default=1)
    limiting = models.CharField("limiter", max_length=7, choices=Limiting, blank=True)
    note = models.TextField(blank=True)
    mix_revision = models.ForeignKey(
        "MixRevision", models.PROTECT, null=True, blank=True, related_name="deliverables"
    )
    # Where bar 1 of the song begins in the files: behind a count-in, or silence.
    bar_one_seconds = models.FloatField(default=0.0)
    batch = models.UUIDField(null=True, blank=True, unique=True)  # what was uploaded together
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    history = History()

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

    @property
    def verdict(self):
        """The one that counts, if any was given. Reads self.verdicts: prefetch them for a list."""
        return next(iter(self.verdicts.all()), None)


LEVELS = (
    "sample_peak_dbfs",
    "true_peak_dbtp",
    "integrated_lufs",
    "max_short_term_lufs",
    "max_momentary_lufs",
    "loudness_range_lu",
)


def _to_a_tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1) + 0.0  # never "-0.0"


#: What is measured at length, or as it goes on: the history keeps what a file is, and its verdict.
UNRECORDED = [
    "progress_percent",
    "dc_offsets",
    "clipped_runs",
    "silent_frames_at_start",
    "silent_frames_at_end",
    "dead_channels",
    "identical_channels",
    "antiphase_channels",
    "waveform",
    "bext",
    "ixml",
    "notes",
]


class DeliverableFileQuerySet(OfAProject):
    to_project = "deliverable__song__project"

    def unfinished(self):
        return self.filter(state__in=UNFINISHED)

    def ready(self):
        return self.filter(state__in=READY)


class DeliverableFile(models.Model):
    """A file as it was uploaded, never altered, with what was measured on it.

    Until it is measured all facts but name and size are empty. A file that can't be measured is
    refused: `refusal` says why, and nothing of it is stored. A level or loudness is null where the
    file has none: silence has no peak in decibels, a file under 0.4 s no integrated loudness, one
    under a minute no meaningful loudness range. What else is measured is as
    `measuring.Measurement` has it.
    """

    deliverable = models.ForeignKey(Deliverable, models.PROTECT, related_name="files")
    file = models.FileField(upload_to="audio/%Y/%m", max_length=255, blank=True)
    original_name = models.CharField(max_length=255)
    size_bytes = models.PositiveBigIntegerField()
    state = models.CharField(max_length=9, choices=FileState, default=FileState.WAITING)
    progress_percent = models.PositiveSmallIntegerField(default=0)
    refusal = models.TextField(blank=True)
    uploaded_at = models.DateTimeField(auto_now_add=True)
    sha256 = models.CharField(max_length=64, blank=True)
    container = models.CharField(max_length=40, blank=True)
    codec = models.CharField(max_length=40, blank=True)
    lossless = models.BooleanField(null=True)
    sample_rate = models.PositiveIntegerField(null=True, blank=True)
    bit_depth = models.PositiveSmallIntegerField(null=True, blank=True)
    valid_bits = models.PositiveSmallIntegerField(null=True, blank=True)
    channels = models.PositiveSmallIntegerField(null=True, blank=True)
    channel_layout = models.CharField(max_length=400, blank=True)
    frames = models.PositiveBigIntegerField(null=True, blank=True)
    duration_seconds = models.FloatField(null=True, blank=True)
    sample_peak_dbfs = models.FloatField(null=True, blank=True)
    true_peak_dbtp = models.FloatField(null=True, blank=True)
    integrated_lufs = models.FloatField(null=True, blank=True)
    loudness_range_lu = models.FloatField(null=True, blank=True)
    max_momentary_lufs = models.FloatField(null=True, blank=True)
    max_short_term_lufs = models.FloatField(null=True, blank=True)
    dc_offsets = models.JSONField(default=list, blank=True)
    clipped_runs = models.JSONField(default=list, blank=True)
    clipped_run_count = models.PositiveIntegerField(default=0)
    silent_frames_at_start = models.PositiveBigIntegerField(default=0)
    silent_frames_at_end = models.PositiveBigIntegerField(default=0)
    dead_channels = models.JSONField(default=list, blank=True)
    identical_channels = models.JSONField(default=list, blank=True)
    antiphase_channels = models.JSONField(default=list, blank=True)
    waveform = models.JSONField(default=list, blank=True)
    bext = models.JSONField(null=True, blank=True)
    ixml = models.JSONField(null=True, blank=True)
    notes = models.JSONField(default=list, blank=True)
    measured_at = models.DateTimeField(null=True, blank=True)
    history = History(excluded_fields=UNRECORDED)

    objects = DeliverableFileQuerySet.as_manager()

    class Meta:
        ordering = ["original_name", "pk"]

    def __str__(self) -> str:
        return self.original_name

    @property
    def is_measured(self) -> bool:
        return self.state == FileState.MEASURED

    @property
    def is_unfinished(self) -> bool:
        """Whether the worker still has to do with it."""
        return self.state in UNFINISHED

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
        return self.time_of(self.frames)

    def time_of(self, frames: int) -> str:
        """Minutes, seconds and tenths (3:05.2), with hours in front from the first hour on."""
        seconds, tenths = divmod(round(Fraction(10 * frames, self.sample_rate)), 10)
        minutes, seconds = divmod(seconds, 60)
        hours, minutes = divmod(minutes, 60)
        start = f"{hours}:{minutes:02}" if hours else f"{minutes}"
        return f"{start}:{seconds:02}.{tenths}"

    @property
    def silence_in_words(self) -> str:
        if self.silent_frames_at_start == self.frames:
            return "all of it"
        ends = (
            f"{self.time_of(frames)} at the {end}"
            for end, frames in [
                ("start", self.silent_frames_at_start),
                ("end", self.silent_frames_at_end),
            ]
            if frames
        )
        return ", ".join(ends) or "none at either end"

    @property
    def clipped_in_words(self) -> str:
        """How many runs of samples at full scale, and when those begin that are on record."""
        if not self.clipped_run_count:
            return "none"
        times = list(dict.fromkeys(self.time_of(first) for _, first, _ in self.clipped_runs))
        more = ", …" * (len(self.clipped_runs) < self.clipped_run_count)
        return f"{self.clipped_run_count}, at {', '.join(times)}{more}"

    @property
    def offset_in_words(self) -> str:
        """The channel's that has most."""
        return f"{100 * max(map(abs, self.dc_offsets), default=0):.3f} % of full scale"

    @property
    def levels(self) -> dict[str, float | None]:
        """Peaks and loudness to the tenth that is shown; meters agree no more closely."""
        return {name: _to_a_tenth(getattr(self, name)) for name in LEVELS}
