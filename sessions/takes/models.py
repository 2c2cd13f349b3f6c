from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from gear.editing.versions import Versioned
from sessions.bookings.models import RecordingSession
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision
from sessions.songs.models import LyricLine, Part, Section, Song


class Mark(models.TextChoices):
    """The tape-box legend (from memory and practice; no standard fixes it)."""

    COMPLETE = "complete", "Complete"
    FALSE_START = "false_start", "False start"
    LONG_FALSE_START = "long_false_start", "Long false start"
    BREAKDOWN = "breakdown", "Breakdown"
    HOLD = "hold", "Hold"
    MASTER = "master", "Master"
    NO_GOOD = "no_good", "No good"


FALSE_STARTS = (Mark.FALSE_START, Mark.LONG_FALSE_START)


class TakeKind(models.TextChoices):
    WHOLE = "whole", "Whole"
    PUNCH_IN = "punch_in", "Punch-in"


class TakeQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(song__in=Song.objects.visible_to(user))

    def for_list(self):
        return self.select_related("song", "part", "session").prefetch_related(
            models.Prefetch("revisions", Revision.objects.select_related("chain__setup"))
        )

    def chosen(self):
        """Takes that the recording is made of: circled, marked master, or picked in the comp."""
        return self.filter(
            models.Q(circled=True)
            | models.Q(mark=Mark.MASTER)
            | models.Q(pk__in=CompChoice.objects.values("take"))
        )


class Take(Versioned):
    """One continuous recording of a part. Numbers run without gaps and are never used again."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="takes")
    part = models.ForeignKey(Part, models.PROTECT, related_name="takes")
    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="takes")
    number = models.PositiveSmallIntegerField()
    logged_at = models.DateTimeField(default=timezone.now, editable=False)
    started_at = models.DateTimeField(
        null=True, blank=True, help_text="Empty where the take was logged after it was over."
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    mark = models.CharField(max_length=20, choices=Mark, blank=True)
    grade = models.PositiveSmallIntegerField(
        null=True, blank=True, choices=[(grade, str(grade)) for grade in range(1, 6)]
    )
    circled = models.BooleanField(default=False, help_text="Chosen for the recording.")
    kind = models.CharField(max_length=10, choices=TakeKind, default=TakeKind.WHOLE)
    punch_in = models.CharField(
        max_length=20, blank=True, help_text="Bar and beat (bar 17, beat 3) or minutes and seconds."
    )
    punch_out = models.CharField(max_length=20, blank=True)
    pre_roll_bars = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    revisions = models.ManyToManyField(Revision, through="TakeRevision", related_name="takes")
    history = HistoricalRecords()

    objects = TakeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("part", "number", name="take_number_once"),
            models.CheckConstraint(
                condition=models.Q(ended_at__isnull=True)
                | models.Q(started_at__isnull=True)
                | models.Q(ended_at__gte=models.F("started_at")),
                name="take_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=~models.Q(circled=True, mark__in=FALSE_STARTS),
                name="false_start_not_chosen",
            ),
            models.UniqueConstraint(
                "part", condition=models.Q(mark=Mark.MASTER), name="one_master_a_part"
            ),
        ]
        ordering = ["part", "number"]

    def __str__(self) -> str:
        """Reads self.part; if not loaded, this causes a SQL query."""
        return f"{self.part}, take {self.number}"

    @property
    def is_rolling(self) -> bool:
        """Logged when it began, and not over yet."""
        return self.ended_at is None


class TakeRevision(models.Model):
    """That a revision was in force when a take was recorded; this is what fixes the revision."""

    take = models.ForeignKey(Take, models.PROTECT)
    revision = models.ForeignKey(Revision, models.PROTECT)
    heard = models.ForeignKey(MixSnapshot, models.PROTECT, help_text="What the performers heard.")

    class Meta:
        constraints = [
            models.UniqueConstraint("take", "revision", name="revision_once_a_take"),
        ]

    def __str__(self) -> str:
        return f"{self.take} through {self.revision}"


class CompChoice(models.Model):
    """Which take a lyric line, or a whole section, is taken from in a part's comp."""

    part = models.ForeignKey(Part, models.PROTECT, related_name="comp_choices")
    section = models.ForeignKey(
        Section, models.PROTECT, null=True, blank=True, related_name="comp_choices"
    )
    line = models.ForeignKey(
        LyricLine, models.PROTECT, null=True, blank=True, related_name="comp_choices"
    )
    take = models.ForeignKey(Take, models.PROTECT, related_name="comp_choices")
    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(section__isnull=False, line__isnull=True)
                | models.Q(section__isnull=True, line__isnull=False),
                name="comp_choice_of_line_or_section",
            ),
            models.UniqueConstraint("part", "line", name="comp_choice_line_once"),
            models.UniqueConstraint("part", "section", name="comp_choice_section_once"),
        ]

    def __str__(self) -> str:
        return f"{self.line or self.section}: {self.take}"
