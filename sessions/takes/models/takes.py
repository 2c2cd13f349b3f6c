from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.utils import timezone

from gear.editing.versions import Versioned
from sessions.bookings.models import RecordingSession
from sessions.clients.visible import OfAProject
from sessions.setups.models import Revision
from sessions.songs.models import Part, Song
from sessions.songs.places import Place, place_text, read_place
from sessions.takes.models.comp import CompChoice
from sessions.takes.models.through import TakeRevision


class Mark(models.TextChoices):
    """The tape-box legend (from memory and practice; no standard fixes it)."""

    COMPLETE = "complete", "Complete"
    FALSE_START = "false_start", "False start"
    LONG_FALSE_START = "long_false_start", "Long false start"
    BREAKDOWN = "breakdown", "Breakdown"
    HOLD = "hold", "Hold"
    MASTER = "master", "Master"
    NO_GOOD = "no_good", "No good"


MANY = 3  # revisions that one line names; of more it says how many there are
FALSE_STARTS = (Mark.FALSE_START, Mark.LONG_FALSE_START)


class TakeKind(models.TextChoices):
    WHOLE = "whole", "Whole"
    PUNCH_IN = "punch_in", "Punch-in"


class TakeQuerySet(OfAProject):
    to_project = "song__project"

    def for_list(self):
        """Takes with all that a page lists of them, in a constant number of queries."""
        return self.select_related("song", "session", "into").prefetch_related(
            models.Prefetch("take_parts", TakePart.objects.in_order()),
            models.Prefetch("through", TakeRevision.objects.for_list()),
        )

    def newest(self, before: "Take | None" = None):
        """The last first, as they were logged; those that were logged before that one."""
        takes = self.order_by("-logged_at", "-pk")
        if before is None:
            return takes
        same = models.Q(logged_at=before.logged_at, pk__lt=before.pk)
        earlier = models.Q(logged_at__lt=before.logged_at)
        # The first condition says no more than both others, but is one stretch of the index.
        return takes.filter(logged_at__lte=before.logged_at).filter(earlier | same)

    def counting(self):
        """Without those that were withdrawn."""
        return self.filter(withdrawn=False)

    def without_chain(self):
        """Those that count and that nothing was logged for what they were recorded through."""
        through = TakeRevision.objects.filter(take=models.OuterRef("pk"))
        return self.counting().filter(~models.Exists(through))

    def rolling(self):
        return self.filter(ended_at=None)

    def to_punch_into(self, parts):
        """Whole takes that have all these parts, of one song."""
        lacking = Part.objects.filter(pk__in=[part.pk for part in parts]).exclude(
            models.Exists(
                TakePart.objects.filter(
                    take=models.OuterRef(models.OuterRef("pk")), part=models.OuterRef("pk")
                )
            )
        )
        whole = self.counting().filter(kind=TakeKind.WHOLE, song__in={p.song_id for p in parts})
        return whole.filter(~models.Exists(lacking))

    def chosen(self):
        """Takes of which a part is chosen."""
        return self.filter(
            models.Exists(TakePart.objects.chosen().filter(take=models.OuterRef("pk")))
        )


class Take(Versioned):
    """One pass of recording of a song, of one or several parts at once. Numbers run on for the song
    without gaps and are never used again: a take that was logged by mistake is withdrawn, stays, and
    counts for nothing."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="takes")
    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="takes")
    number = models.PositiveSmallIntegerField()
    logged_at = models.DateTimeField(default=timezone.now, editable=False)
    started_at = models.DateTimeField(
        null=True, blank=True, help_text="Empty where the take was logged after it was over."
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    started_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, editable=False, related_name="+"
    )
    withdrawn = models.BooleanField(default=False, editable=False)
    kind = models.CharField(max_length=10, choices=TakeKind, default=TakeKind.WHOLE)
    into = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="punched",
        verbose_name="into the take",
        help_text="The whole take that a punch-in goes into.",
    )
    punch_in = models.CharField(
        max_length=20, blank=True, help_text="Bar and beat (bar 17, beat 3) or minutes and seconds."
    )
    punch_out = models.CharField(max_length=20, blank=True)
    pre_roll_bars = models.PositiveSmallIntegerField(null=True, blank=True)
    pre_roll_seconds = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    parts = models.ManyToManyField(Part, through="TakePart", related_name="takes")
    revisions = models.ManyToManyField(Revision, through="TakeRevision", related_name="takes")

    objects = TakeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("song", "number", name="take_number_once"),
            models.CheckConstraint(
                condition=models.Q(ended_at__isnull=True)
                | models.Q(started_at__isnull=True)
                | models.Q(ended_at__gte=models.F("started_at")),
                name="take_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=models.Q(kind=TakeKind.WHOLE, into__isnull=True)
                | models.Q(kind=TakeKind.PUNCH_IN, into__isnull=False),
                name="punch_in_goes_into_a_take",
            ),
            models.CheckConstraint(
                condition=models.Q(pre_roll_bars__isnull=True)
                | models.Q(pre_roll_seconds__isnull=True),
                name="pre_roll_in_bars_or_seconds",
            ),
        ]
        indexes = [
            models.Index("session", "logged_at", "id", name="takes_of_session_newest"),
            models.Index("song", name="takes_rolling", condition=models.Q(ended_at__isnull=True)),
            models.Index(
                "song", "number", name="punch_ins_newest", condition=models.Q(into__isnull=False)
            ),
        ]
        ordering = ["song", "number"]

    def __str__(self) -> str:
        return f"Take {self.number}"

    @property
    def is_rolling(self) -> bool:
        """Logged when it began, and not over yet."""
        return self.ended_at is None

    @property
    def taken_at(self) -> datetime:
        """When it began; of one that was logged after it was over, when it was logged."""
        return self.started_at or self.logged_at

    @property
    def length(self) -> timedelta | None:
        """How long it rolled; None where that was not logged."""
        return self.ended_at - self.started_at if self.ended_at and self.started_at else None

    @property
    def length_text(self) -> str:
        """Minutes and seconds, 3:12; empty where it is not known."""
        if self.length is None:
            return ""
        minutes, seconds = divmod(round(self.length.total_seconds()), 60)
        return f"{minutes}:{seconds:02d}"

    @property
    def is_circled(self) -> bool:
        """All its parts are. No query if it is loaded `for_list`."""
        return all(each.circled for each in self.take_parts.all())

    @property
    def outcome(self) -> list[tuple[str, str, bool]]:
        """Parts that came out alike, in words, with their mark and whether they are circled. No query if
        it is loaded `for_list`."""
        alike = {}
        for each in self.take_parts.all():
            alike.setdefault((each.get_mark_display(), each.circled), []).append(each.part.name)
        return [
            (", ".join(names) if len(names) <= 4 else f"{len(names)} parts", mark, circled)
            for (mark, circled), names in alike.items()
        ]

    def through_since(self, earlier: "Take | None") -> str:
        """What it was recorded through that the take before it was not, in words. No
        query if both are loaded `for_list`."""
        before = {each.revision_id for each in earlier.through.all()} if earlier else ()
        changed = [each for each in self.through.all() if each.revision_id not in before]
        if len(changed) > MANY:
            return f"{len(changed)} other revisions" if earlier else f"{len(changed)} revisions"
        return "; ".join(
            f"{each.revision.chain}, revision {each.revision.number}" for each in changed
        )

    @property
    def pre_roll(self) -> str:
        """As it is typed: `2 bars`, `5 s`; empty for none."""
        if self.pre_roll_bars:
            return f"{self.pre_roll_bars} bar{'s' if self.pre_roll_bars > 1 else ''}"
        return f"{self.pre_roll_seconds} s" if self.pre_roll_seconds else ""

    @property
    def points(self) -> str:
        """Where a punch-in goes in and out, `bar 21 (0:54.8) to bar 29 (1:14.9)`, and where it rolls
        from. Reads self.song."""
        timeline = self.song.timeline
        ways = place_text(self.punch_in, timeline)
        ways += f" to {place_text(self.punch_out, timeline) if self.punch_out else 'the end'}"
        start = self.rolls_from
        return f"{ways}; rolls from {start}" if start else ways

    @property
    def rolls_from(self) -> str:
        """Where the pre-roll of a punch-in begins; how long it is where the song has no tempo."""
        timeline = self.song.timeline
        if self.pre_roll and not timeline:
            return f"{self.pre_roll} before"
        if self.pre_roll_bars:
            bar, beat = read_place(self.punch_in).bar_at(timeline)
            return str(Place(bar - self.pre_roll_bars, beat))
        if self.pre_roll_seconds:
            try:
                begins = read_place(self.punch_in).at(timeline) - self.pre_roll_seconds
            except ValueError:  # the song's time signature was another then
                return f"{self.pre_roll} before"
            return str(Place(*timeline.position(begins)))
        return ""


class TakePartQuerySet(OfAProject):
    to_project = "take__song__project"

    def in_order(self):
        """As the song lists its parts, with part and performer loaded."""
        return self.select_related("part__performer").order_by(
            "part__position", "part__name", "part", "take__number"
        )

    def chosen(self):
        """What the recording is made of: circled, marked master, picked in the comp, or what such
        a punch-in of the same part goes into; `in_comp` and `punched_into` say the latter."""
        picked = models.Q(circled=True) | models.Q(mark=Mark.MASTER)
        picked &= models.Q(take__withdrawn=False)
        of_part = {"part": models.OuterRef("part")}
        comp = CompChoice.objects.filter(take=models.OuterRef("take"), **of_part)
        punch_ins = TakePart.objects.filter(picked, take__into=models.OuterRef("take"), **of_part)
        return self.annotate(
            in_comp=models.Exists(comp), punched_into=models.Exists(punch_ins)
        ).filter(picked | models.Q(in_comp=True) | models.Q(punched_into=True))


class TakePart(Versioned):
    """One part of a take: how it came out there, and whether it is chosen."""

    take = models.ForeignKey(Take, models.PROTECT, related_name="take_parts")
    part = models.ForeignKey(Part, models.PROTECT, related_name="take_parts")
    mark = models.CharField(max_length=20, choices=Mark, blank=True)
    grade = models.PositiveSmallIntegerField(
        null=True, blank=True, choices=[(grade, str(grade)) for grade in range(1, 6)]
    )
    circled = models.BooleanField(default=False, help_text="Chosen for the recording.")
    note = models.CharField(max_length=200, blank=True)

    objects = TakePartQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("take", "part", name="part_once_a_take"),
            models.CheckConstraint(
                condition=~models.Q(circled=True, mark__in=FALSE_STARTS),
                name="false_start_not_chosen",
            ),
            models.UniqueConstraint(
                "part", condition=models.Q(mark=Mark.MASTER), name="one_master_a_part"
            ),
        ]
        indexes = [models.Index(fields=["part", "id"], name="take_parts_newest")]
        ordering = ["take", "pk"]

    def __str__(self) -> str:
        """Reads self.part and self.take; each that is not loaded causes a SQL query."""
        return f"{self.part}, take {self.take.number}"

    def through(self) -> "list[TakeRevision]":
        """The revisions behind this part, in order. No query if the take is loaded with `through`."""
        return [each for each in self.take.through.all() if each.revision.chain.carries(self.part)]
