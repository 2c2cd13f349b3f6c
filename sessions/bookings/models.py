from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from gear.equipment.models import Fault, Unit
from sessions.clients.models import Person, Project, RetirableQuerySet


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


class RecordingSessionQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(project__in=Project.objects.visible_to(user))

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
        ordering = ["starts_at"]
        indexes = [models.Index(fields=["starts_at", "ends_at"], name="session_period")]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("bookings:detail", args=[self.pk])

    @property
    def duration(self):
        """Elapsed time, right across a clock change because both ends are UTC."""
        return self.ends_at - self.starts_at


class ReservationQuerySet(models.QuerySet):
    def overlapping(self, starts_at, ends_at):
        """Reservations that share time with the half-open period; touching ends do not."""
        return self.filter(starts_at__lt=ends_at, ends_at__gt=starts_at)

    def standing(self):
        """Those that have a place in line: neither inquiries nor released."""
        return self.filter(rank__isnull=False)

    def for_list(self):
        return self.select_related("room", "person", "unit__model")


class Reservation(models.Model):
    """One room, person or unit that a session takes, with a period and a place in line of its own.

    Rank 1 owns the time, rank 2 is the second hold, and so on; no rank at all takes nothing (an
    inquiry, or released). That no two of the same resource and rank overlap is kept by the
    database: `sessions/guards.py`.
    """

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="reservations")
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
        ordering = ["role", "person__name"]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_role_display().lower()}"
