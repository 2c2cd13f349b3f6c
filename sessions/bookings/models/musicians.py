"""What is kept of a musician at a session besides the credit: in and out, breaks, releases."""

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone

from gear.editing.history import History
from gear.editing.versions import Versioned
from sessions.bookings.models.sessions import RecordingSession
from sessions.clients.models import Person
from sessions.clients.visible import OfAProject
from sessions.periods import duration_in_words
from sessions.signing.models import Signature


class AttendanceQuerySet(models.QuerySet):
    def for_list(self):
        """With person and breaks."""
        return self.select_related("person").prefetch_related("breaks")


class Attendance(Versioned):
    """When a musician was called, came in and went out: a row for each stretch, usually one a day.

    The call alone is a plan; the session's own call is its start.
    """

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="attendances")
    person = models.ForeignKey(Person, models.PROTECT, related_name="attendances")
    called_at = models.DateTimeField("call", null=True, blank=True)
    came_at = models.DateTimeField("in", null=True, blank=True)
    left_at = models.DateTimeField("out", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    objects = AttendanceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(called_at__isnull=False) | models.Q(came_at__isnull=False),
                name="attendance_has_a_time",
            ),
            models.CheckConstraint(
                condition=models.Q(left_at=None) | models.Q(left_at__gt=models.F("came_at")),
                name="attendance_out_after_in",
            ),
            models.CheckConstraint(
                condition=models.Q(left_at=None) | models.Q(came_at__isnull=False),
                name="attendance_out_needs_in",
            ),
            models.UniqueConstraint(
                "session",
                "person",
                condition=models.Q(came_at__isnull=False, left_at=None),
                name="musician_is_in_once",
            ),
        ]
        ordering = ["person__name", "called_at", "came_at", "pk"]

    def __str__(self) -> str:
        return f"In and out of {self.person}"

    @property
    def is_in(self) -> bool:
        return bool(self.came_at and not self.left_at)

    @property
    def open_break(self) -> "AttendanceBreak | None":
        """The break that goes on. Reads self.breaks."""
        return next((each for each in self.breaks.all() if each.ends_at is None), None)

    @property
    def break_time(self) -> timedelta:
        """Of the breaks that are over. Reads self.breaks."""
        over = (each.ends_at - each.starts_at for each in self.breaks.all() if each.ends_at)
        return sum(over, timedelta())

    @property
    def played(self) -> timedelta | None:
        """From in to out without the breaks, elapsed; None while it is not over. Reads self.breaks."""
        return self.left_at - self.came_at - self.break_time if self.left_at else None

    @property
    def played_in_words(self) -> str:
        return duration_in_words(self.played) if self.played is not None else ""

    @property
    def breaks_in_words(self) -> str:
        """13:00 to 14:00, 16:15 on. Reads self.breaks."""
        return ", ".join(map(str, self.breaks.all()))


class AttendanceBreak(models.Model):
    """A break; without an end it goes on."""

    attendance = models.ForeignKey(Attendance, models.PROTECT, related_name="breaks")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField(null=True, blank=True)
    history = History()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_at=None) | models.Q(ends_at__gt=models.F("starts_at")),
                name="break_ends_after_it_starts",
            ),
            models.UniqueConstraint(
                "attendance", condition=models.Q(ends_at=None), name="one_break_at_a_time"
            ),
        ]
        ordering = ["starts_at", "pk"]

    def __str__(self) -> str:
        def clock(at: datetime) -> str:
            return f"{timezone.localtime(at):%H:%M}"

        ends = f"to {clock(self.ends_at)}" if self.ends_at else "on"
        return f"{clock(self.starts_at)} {ends}"


class ReleaseQuerySet(OfAProject):
    to_project = "session__project"


class Release(Versioned):
    """That a musician agreed in writing to the use of what they played at a session.

    On paper, or under the house's wording with a signature, which keeps the words that were signed.
    """

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="releases")
    person = models.ForeignKey(Person, models.PROTECT, related_name="releases")
    covers = models.CharField(
        "for what", max_length=200, help_text="The songs, and what they may be used for."
    )
    signed_on = models.DateField("signed on")
    signature = models.OneToOneField(
        Signature, models.PROTECT, null=True, related_name="+", editable=False
    )
    note = models.CharField(
        max_length=200, blank=True, help_text="Where the paper is kept, for example."
    )
    withdrawn_on = models.DateField(
        "withdrawn on", null=True, blank=True, help_text="Only where the musician took it back."
    )
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False
    )
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = ReleaseQuerySet.as_manager()

    class Meta:
        ordering = ["-signed_on", "-pk"]

    def __str__(self) -> str:
        return f"Release by {self.person}"

    def get_absolute_url(self) -> str:
        return reverse("musicians:release", args=[self.pk])

    @property
    def stands(self) -> bool:
        return self.withdrawn_on is None
