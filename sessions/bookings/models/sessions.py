from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone

from gear.editing.history import History
from gear.editing.versions import Versioned
from gear.equipment.models import Fault
from sessions.clients.models import Project
from sessions.clients.visible import OfAProject
from sessions.editing.rules import PERCENT
from sessions.periods import duration_in_words, period_briefly, period_in_words
from sessions.terms.models import CancellationTerms, RateCard

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


class Status(models.TextChoices):
    ENQUIRY = "enquiry", "Enquiry"
    HELD = "held", "Held"
    CONFIRMED = "confirmed", "Confirmed"
    UNDER_WAY = "under_way", "Under way"
    WRAPPED = "wrapped", "Wrapped"
    CANCELLED = "cancelled", "Cancelled"


FIRST_STATUSES = (Status.ENQUIRY, Status.HELD, Status.CONFIRMED)  # of a new session
TAKES_NOTHING = {Status.ENQUIRY, Status.CANCELLED}


def unanswered(hold) -> models.Exists:
    """Whether the deadline of a challenge has come without an answer: the hold has lapsed by the
    clock, whenever that is written down."""
    challenges = RecordingSession._meta.get_field("challenges").related_model.objects
    return models.Exists(challenges.due(timezone.now()).filter(hold=hold))


class RecordingSessionQuerySet(OfAProject):
    to_project = "project"

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

    def for_list(self):
        reservations = self.model._meta.get_field("reservations").related_model.objects
        return (
            self.select_related("project__client")
            .prefetch_related(models.Prefetch("reservations", reservations.for_list()))
            .annotate(overdue=unanswered(models.OuterRef("pk")))
        )


class RecordingSession(Versioned):
    """One booked block of time. Named so because Django's web session owns the word `Session`.

    The period is half-open and stored in UTC: a session that ends at 14:00 leaves 14:00 free.
    """

    #: Which of its facts nobody reads who may not see prices.
    MONEY_FIELDS = frozenset({"rate_card", "cancellation_terms", "discount_percent"})

    project = models.ForeignKey(Project, models.PROTECT, related_name="recording_sessions")
    title = models.CharField(max_length=120)
    starts_at = models.DateTimeField("starts")
    ends_at = models.DateTimeField("ends")
    status = models.CharField(max_length=10, choices=Status, default=Status.HELD)
    status_since = models.DateTimeField(default=timezone.now, editable=False)
    lockout = models.BooleanField(
        default=False,
        help_text=(
            "The rooms are kept overnight and the gear stays set up; hours are planned within it."
        ),
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
        validators=PERCENT,
        help_text="Taken off every line, before tax.",
    )
    note = models.TextField(blank=True)
    left_to_do = models.TextField(
        blank=True, help_text="What the next session has to finish; shown on the session report."
    )
    faults = models.ManyToManyField(Fault, blank=True, related_name="recording_sessions")

    objects = RecordingSessionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="session_ends_after_it_starts",
            ),
        ]
        ordering = ["starts_at", "pk"]
        indexes = [
            models.Index(fields=["starts_at", "ends_at"], name="session_period"),
            # Today asks of the few that are not over: a house has tens of thousands that are.
            models.Index(fields=["status", "ends_at"], name="session_status_end"),
        ]

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
    def period_briefly(self) -> str:
        return period_briefly(self.starts_at, self.ends_at)

    @property
    def takes_time(self) -> bool:
        """Whether its reservations have a rank."""
        return self.status not in TAKES_NOTHING

    @property
    def standing(self) -> str:
        """The status; for a hold, the last place that it has in any line, or that it has lapsed.

        Costs a query if the reservations are not loaded. That a hold has lapsed by the clock is
        seen where `for_list` or `with_holders` loaded it.
        """
        ranks = [reservation.rank or 1 for reservation in self.reservations.all()]
        return standing_in_words(
            self.status, max(ranks, default=1), overdue=getattr(self, "overdue", False)
        )


def standing_in_words(status: str, rank: int, *, overdue: bool = False) -> str:
    """ "confirmed", "first hold", "second hold" …, "12th hold", "lapsed hold"."""
    if status != Status.HELD:
        return Status(status).label.lower()
    if overdue:
        return "lapsed hold"
    place = ORDINALS[rank - 1] if rank <= len(ORDINALS) else f"{rank}th"
    return f"{place} hold"


class Series(models.Model):
    """Sessions that repeat by a recurrence rule (RFC 5545, section 3.3.10)."""

    rule = models.CharField(max_length=200)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    history = History()

    class Meta:
        verbose_name_plural = "series"

    def __str__(self) -> str:
        return self.rule

    def get_absolute_url(self) -> str:
        return reverse("series:detail", args=[self.pk])


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
