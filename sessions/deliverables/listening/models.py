"""What is listened to, and what listeners say: light copies, notes and verdicts."""

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.urls import reverse

from gear.editing.versions import Versioned
from sessions.clients.orders import MIX_KINDS
from sessions.clients.visible import OfAProject
from sessions.deliverables import formats
from sessions.deliverables.models import SOUND_KINDS, Deliverable, DeliverableFile, FileState
from sessions.songs.models import LyricLine, Section
from sessions.songs.places import Place

PLAYED_BY_BROWSERS = [name for name, known in formats.FORMATS.items() if known.in_browsers]


class LightCopyQuerySet(OfAProject):
    to_project = "source__deliverable__song__project"

    def made(self):
        return self.exclude(made_at=None)


class LightCopy(models.Model):
    """A measured file once more, coded so that a phone can play it; measured for itself.

    Wanted until it is made, or until `failure` says why it could not be.
    """

    source = models.OneToOneField(DeliverableFile, models.PROTECT, related_name="light_copy")
    wanted_at = models.DateTimeField(auto_now_add=True)
    made_at = models.DateTimeField(null=True, blank=True)
    failure = models.TextField(blank=True)
    file = models.FileField(upload_to="light_copies", max_length=255, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    size_bytes = models.PositiveBigIntegerField(null=True, blank=True)
    codec = models.CharField(max_length=40, blank=True)
    bit_rate = models.PositiveIntegerField(null=True, blank=True)
    channels = models.PositiveSmallIntegerField(null=True, blank=True)
    duration_seconds = models.FloatField(null=True, blank=True)
    integrated_lufs = models.FloatField(null=True, blank=True)
    true_peak_dbtp = models.FloatField(null=True, blank=True)

    objects = LightCopyQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "light copies"

    def __str__(self) -> str:
        return f"Light copy of {self.source}"

    @property
    def codec_in_words(self) -> str:
        return formats.codec_in_words(self.codec)

    @property
    def bit_rate_in_words(self) -> str:
        return f"{self.bit_rate // 1000} kbit/s"


def files_without_a_light_copy():
    """Measured mixes, and other sound that browsers do not play, of which none was ever wanted."""
    wanted = Q(deliverable__kind__in=MIX_KINDS) | (
        Q(deliverable__kind__in=SOUND_KINDS) & ~Q(container__in=PLAYED_BY_BROWSERS)
    )
    return DeliverableFile.objects.filter(wanted, state=FileState.MEASURED, light_copy=None)


class NoteState(models.TextChoices):
    OPEN = "open", "Open"
    DONE = "done", "Done"


class MixNoteQuerySet(OfAProject):
    to_project = "deliverable__song__project"

    def in_order(self):
        """By the time in the mix, those about the whole of it first."""
        return self.order_by(models.F("seconds").asc(nulls_first=True), "at", "pk")


class Said(models.Model):
    """Something that somebody said. `said_by` is the name, `by` the account of whoever wrote it down:
    None where it came from a page without sign-in."""

    said_by = models.CharField(max_length=120)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(condition=~Q(said_by=""), name="%(class)s_has_a_name")
        ]

    @property
    def written_down_by(self):
        """Who wrote down what another said. Reads self.by."""
        return self.by if self.by and str(self.by) != self.said_by else None


class MixNote(Said, Versioned):
    """What was said about a place in a mix, or without `seconds` about the whole of it."""

    deliverable = models.ForeignKey(Deliverable, models.PROTECT, related_name="mix_notes")
    seconds = models.FloatField(null=True, blank=True)
    # A line that went out of the lyrics takes nothing of what was said about it.
    section = models.ForeignKey(
        Section, models.SET_NULL, null=True, blank=True, related_name="mix_notes"
    )
    line = models.ForeignKey(
        LyricLine, models.SET_NULL, null=True, blank=True, related_name="mix_notes"
    )
    text = models.TextField()
    state = models.CharField(max_length=4, choices=NoteState, default=NoteState.OPEN)
    answer = models.TextField(blank=True)

    objects = MixNoteQuerySet.as_manager()

    class Meta(Said.Meta):
        constraints = [
            *Said.Meta.constraints,
            models.CheckConstraint(
                condition=Q(seconds__isnull=True) | Q(seconds__gte=0), name="mixnote_in_the_mix"
            ),
        ]
        ordering = ["deliverable", "at", "pk"]

    def __str__(self) -> str:
        return f"Note on {self.deliverable}"

    def get_absolute_url(self) -> str:
        return reverse("listening:answer", args=[self.pk])

    @property
    def time(self) -> str:
        """1:23.5; empty where it is about the whole mix."""
        return "" if self.seconds is None else time_in_words(self.seconds)

    @property
    def about(self) -> Section | LyricLine | None:
        return self.line or self.section


class Choice(models.TextChoices):
    APPROVED = "approved", "Approved"
    CHANGES_WANTED = "changes_wanted", "Changes wanted"


class VerdictQuerySet(OfAProject):
    to_project = "deliverable__song__project"

    def that_count(self):
        """The newest of each deliverable."""
        newer = Verdict.objects.filter(
            Q(at__gt=OuterRef("at")) | Q(at=OuterRef("at"), pk__gt=OuterRef("pk")),
            deliverable=OuterRef("deliverable"),
        )
        return self.filter(~Exists(newer))


class Verdict(Said):
    """Whether a version of a mix is approved. All are kept; the latest counts."""

    deliverable = models.ForeignKey(Deliverable, models.PROTECT, related_name="verdicts")
    choice = models.CharField("verdict", max_length=14, choices=Choice)
    text = models.TextField(blank=True)

    objects = VerdictQuerySet.as_manager()

    class Meta(Said.Meta):
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.deliverable}: {self.get_choice_display()}"


def time_in_words(seconds: float) -> str:
    """As places in songs are written: 1:23.5, 0:54."""
    return str(Place(seconds=seconds))
