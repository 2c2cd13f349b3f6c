from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from gear.equipment.models import Fault, Unit
from sessions.bookings.house.models import Block
from sessions.bookings.money.models import CancellationTerms, PaperKind, RateCard
from sessions.bookings.padding import Padding
from sessions.bookings.periods import duration_in_words, period_in_words
from sessions.clients.models import Person, Project, RetirableQuerySet

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


class Room(models.Model):
    name = models.CharField(max_length=60, unique=True)
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)
    history = HistoricalRecords()

    objects = RetirableQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Status(models.TextChoices):
    INQUIRY = "inquiry", "Inquiry"
    HELD = "held", "Held"
    CONFIRMED = "confirmed", "Confirmed"
    UNDER_WAY = "under_way", "Under way"
    WRAPPED = "wrapped", "Wrapped"
    CANCELLED = "cancelled", "Cancelled"


TAKES_NOTHING = {Status.INQUIRY, Status.CANCELLED}


class RecordingSessionQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(project__in=Project.objects.visible_to(user))

    def past(self, now):
        return self.filter(ends_at__lte=now)

    def upcoming(self, now):
        """Those that are not over yet: the ones under way too."""
        return self.filter(ends_at__gt=now)

    def overlapping(self, starts_at, ends_at):
        """Sessions that share time with the half-open period; touching ends do not."""
        return self.filter(starts_at__lt=ends_at, ends_at__gt=starts_at)

    def lapsed(self):
        """Holds that were challenged, not confirmed in time, and given up by the deadline."""
        return self.filter(status=Status.CANCELLED, lapsed_at__isnull=False)

    def unbilled(self):
        """Wrapped sessions for which no work order was issued."""
        return self.filter(status=Status.WRAPPED).exclude(money_papers__kind=PaperKind.WORK_ORDER)

    def for_list(self):
        return self.select_related("project__client").prefetch_related(
            models.Prefetch("reservations", Reservation.objects.for_list())
        )


class RecordingSession(models.Model):
    """One booked block of time. Named so because Django's web session owns the word `Session`.

    The period is half-open and stored in UTC: a session that ends at 14:00 leaves 14:00 free.
    """

    project = models.ForeignKey(Project, models.PROTECT, related_name="recording_sessions")
    title = models.CharField(max_length=120)
    starts_at = models.DateTimeField("starts")
    ends_at = models.DateTimeField("ends")
    status = models.CharField(max_length=10, choices=Status, default=Status.HELD)
    status_since = models.DateTimeField(default=timezone.now, editable=False)
    lockout = models.BooleanField(
        default=False,
        help_text="The rooms are kept overnight, equipment left set; hours are worked inside it.",
    )
    series = models.ForeignKey(
        "Series", models.PROTECT, null=True, blank=True, related_name="sessions", editable=False
    )
    lapsed_at = models.DateTimeField(null=True, blank=True, editable=False)
    rate_card = models.ForeignKey(
        RateCard, models.PROTECT, null=True, blank=True, related_name="sessions"
    )
    cancellation_terms = models.ForeignKey(
        CancellationTerms, models.PROTECT, null=True, blank=True, related_name="sessions"
    )
    discount_percent = models.DecimalField(
        "discount, per cent",
        max_digits=5,
        decimal_places=2,
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    note = models.TextField(blank=True)
    left_to_do = models.TextField(
        blank=True, help_text="What the next session has to finish; printed on the report."
    )
    faults = models.ManyToManyField(Fault, blank=True, related_name="recording_sessions")
    version = models.PositiveIntegerField(default=1, editable=False)
    history = HistoricalRecords()

    objects = RecordingSessionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="session_ends_after_it_starts",
            ),
        ]
        ordering = ["starts_at", "pk"]
        indexes = [models.Index(fields=["starts_at", "ends_at"], name="session_period")]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("bookings:detail", args=[self.pk])

    @property
    def duration(self):
        """Elapsed time, right across a clock change because both ends are UTC."""
        return self.ends_at - self.starts_at

    @property
    def duration_in_words(self) -> str:
        return duration_in_words(self.duration)

    @property
    def period_in_words(self) -> str:
        return period_in_words(self.starts_at, self.ends_at)

    @property
    def takes_time(self) -> bool:
        """Whether its reservations have a place in line."""
        return self.status not in TAKES_NOTHING

    @property
    def standing(self) -> str:
        """The status; for a hold, the last place that it has in any line.

        Costs a query if the reservations are not loaded.
        """
        ranks = [reservation.rank or 1 for reservation in self.reservations.all()]
        return standing_in_words(self.status, max(ranks, default=1))


def standing_in_words(status: str, rank: int) -> str:
    """ "confirmed", "first hold", "second hold" …, "12th hold"."""
    if status != Status.HELD:
        return Status(status).label.lower()
    place = ORDINALS[rank - 1] if rank <= len(ORDINALS) else f"{rank}th"
    return f"{place} hold"


KINDS = {Room: "room", Person: "person", Unit: "unit"}  # the reservation's field of each


def by_kind(resources) -> dict[str, list]:
    """Rooms, people and units, sorted by the reservation's field that each belongs in."""
    sorted_out = {kind: [] for kind in KINDS.values()}
    for resource in resources:
        sorted_out[KINDS[type(resource)]].append(resource)
    return sorted_out


class ReservationQuerySet(models.QuerySet):
    def of(self, resources):
        """Reservations of any of these rooms, people and units."""
        wanted = models.Q(pk__in=[])
        for kind, of_kind in by_kind(resources).items():
            if of_kind:
                wanted |= models.Q(**{f"{kind}__in": of_kind})
        return self.filter(wanted)

    def overlapping(self, starts_at, ends_at):
        """Reservations that share time with the half-open period; touching ends do not."""
        return self.filter(starts_at__lt=ends_at, ends_at__gt=starts_at)

    def standing(self):
        """Those that have a place in line: neither inquiries nor released."""
        return self.filter(rank__isnull=False)

    def for_list(self):
        """Rooms first, then people, then units, each by name."""
        names = ("room__name", "person__name", "unit__asset_tag")
        return self.select_related("room", "person", "unit__model").order_by(
            *(models.F(name).asc(nulls_last=True) for name in names)
        )

    def with_holders(self):
        """With what reserves them: a session with its project and client, or a block."""
        return self.select_related("session__project__client", "block")


class Reservation(models.Model):
    """One room, person or unit that a session takes, with a period and a place in line of its own;
    or that a block keeps from being taken, always in first place.

    The period holds the minutes before and after the session, of which a block has none.
    Rank 1 owns the time, rank 2 is the second hold, and so on; no rank at all takes nothing (an
    inquiry, or released). That no two of the same resource and rank overlap is kept by the
    database: `sessions/guards.py`.
    """

    session = models.ForeignKey(
        RecordingSession, models.PROTECT, null=True, blank=True, related_name="reservations"
    )
    block = models.ForeignKey(
        Block, models.PROTECT, null=True, blank=True, related_name="reservations"
    )
    room = models.ForeignKey(
        Room, models.PROTECT, null=True, blank=True, related_name="reservations"
    )
    person = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="reservations"
    )
    unit = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="reservations"
    )
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    before_minutes = models.PositiveSmallIntegerField(
        "before, minutes", default=0, help_text="Load-in, warm-up: part of the period."
    )
    after_minutes = models.PositiveSmallIntegerField(
        "after, minutes", default=0, help_text="Teardown: part of the period."
    )
    rank = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    history = HistoricalRecords()

    objects = ReservationQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="reservation_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=models.Q(room__isnull=False, person__isnull=True, unit__isnull=True)
                | models.Q(room__isnull=True, person__isnull=False, unit__isnull=True)
                | models.Q(room__isnull=True, person__isnull=True, unit__isnull=False),
                name="reservation_of_one_resource",
            ),
            models.CheckConstraint(
                condition=models.Q(session__isnull=False, block__isnull=True)
                | models.Q(session__isnull=True, block__isnull=False),
                name="reservation_for_session_or_block",
            ),
            models.CheckConstraint(
                condition=models.Q(rank__isnull=True) | models.Q(rank__gte=1),
                name="reservation_rank_from_one",
            ),
            models.UniqueConstraint("session", "room", name="reservation_room_once"),
            models.UniqueConstraint("session", "person", name="reservation_person_once"),
            models.UniqueConstraint("session", "unit", name="reservation_unit_once"),
        ]
        indexes = [
            models.Index(fields=["room", "rank", "starts_at"], name="reservation_room_line"),
            models.Index(fields=["person", "rank", "starts_at"], name="reservation_person_line"),
            models.Index(fields=["unit", "rank", "starts_at"], name="reservation_unit_line"),
        ]

    def __str__(self) -> str:
        return f"{self.resource}"

    @property
    def resource(self):
        """The room, person or unit. Costs a query if that is not loaded."""
        return self.room or self.person or self.unit

    @property
    def standing(self) -> str:
        """Its place in line in words. Costs a query if the session is not loaded."""
        if self.rank is None:
            return "takes no time"
        if self.block_id:
            return "blocked"
        return standing_in_words(self.session.status, self.rank)

    @property
    def padding(self) -> Padding:
        return Padding(self.before_minutes, self.after_minutes)

    @property
    def holder(self):
        """The session or the block that it belongs to. Costs a query if that is not loaded."""
        return self.session or self.block

    @property
    def period_in_words(self) -> str:
        return period_in_words(self.starts_at, self.ends_at)

    def overlaps(self, other: "Reservation") -> bool:
        return self.starts_at < other.ends_at and other.starts_at < self.ends_at


class WorkedHours(models.Model):
    """Hours worked inside a session: planned ones within a lockout, and the actual ones of any."""

    class Kind(models.TextChoices):
        PLANNED = "planned", "Planned"
        ACTUAL = "actual", "Actual"

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="worked_hours")
    kind = models.CharField(max_length=7, choices=Kind)
    starts_at = models.DateTimeField("from")
    ends_at = models.DateTimeField("to")
    note = models.CharField(max_length=120, blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name_plural = "worked hours"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="worked_hours_end_after_they_start",
            ),
        ]
        ordering = ["starts_at", "pk"]

    def __str__(self) -> str:
        return period_in_words(self.starts_at, self.ends_at)


class Series(models.Model):
    """Sessions that repeat by a recurrence rule (RFC 5545, section 3.3.10)."""

    rule = models.CharField(max_length=200)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = "series"

    def __str__(self) -> str:
        return self.rule


class StatusStep(models.Model):
    """That a session came to a status: when, and by whom (nobody: by a deadline)."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="status_steps")
    status = models.CharField(max_length=10, choices=Status)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_status_display()} {self.at:%Y-%m-%d %H:%M}"


class ChallengeOutcome(models.TextChoices):
    OPEN = "open", "Waiting for an answer"
    CONFIRMED = "confirmed", "The hold was confirmed"
    RELEASED = "released", "The hold was released"
    LAPSED = "lapsed", "The hold lapsed"
    WITHDRAWN = "withdrawn", "The challenge was withdrawn"


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
    history = HistoricalRecords()

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


class CreditRole(models.TextChoices):
    VOCALIST = "vocalist", "Vocalist"
    MUSICIAN = "musician", "Musician"
    PRODUCER = "producer", "Producer"
    RECORDING_ENGINEER = "recording_engineer", "Recording engineer"
    ASSISTANT_ENGINEER = "assistant_engineer", "Assistant engineer"
    MIXING_ENGINEER = "mixing_engineer", "Mixing engineer"
    MASTERING_ENGINEER = "mastering_engineer", "Mastering engineer"
    ARRANGER = "arranger", "Arranger"
    CONDUCTOR = "conductor", "Conductor"


class Credit(models.Model):
    """Who did what at a session."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="credits")
    person = models.ForeignKey(Person, models.PROTECT, related_name="credits")
    role = models.CharField(max_length=20, choices=CreditRole)
    instrument = models.CharField(max_length=60, blank=True)
    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "session", "person", "role", "instrument", name="credit_once_a_session"
            ),
        ]
        ordering = ["role", "person__name", "pk"]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_role_display().lower()}"
