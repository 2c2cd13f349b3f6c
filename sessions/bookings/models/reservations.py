from datetime import timedelta

from django.core.validators import MinValueValidator
from django.db import models

from gear.editing.history import History
from gear.equipment.models import Unit, UnitState
from sessions.bookings.models.blocks import Block
from sessions.bookings.models.sessions import (
    RecordingSession,
    Status,
    standing_in_words,
    unanswered,
)
from sessions.bookings.padding import Padding
from sessions.clients.models import Person
from sessions.clients.visible import OfAProject
from sessions.editing.rules import one_of
from sessions.periods import period_in_words
from sessions.rooms.models import Room
from sessions.rooms.resources import by_kind


class ReservationQuerySet(OfAProject):
    to_project = "session__project"

    def visible_to(self, user):
        """Of sessions that the user sees, and of no block."""
        return super().visible_to(user).filter(session__isnull=False)

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
        """Those that have a rank: neither enquiries nor released."""
        return self.filter(rank__isnull=False)

    def to_come(self, now):
        """Those of sessions that have their time and are not over."""
        return self.filter(
            session__status__in=(Status.HELD, Status.CONFIRMED, Status.UNDER_WAY),
            session__ends_at__gt=now,
        )

    def not_to_be_had(self):
        """Those that something has to stand in for: what was given up to a block, and units that
        are out of service, or whose supply is."""
        out = [UnitState.ON_THE_BENCH, UnitState.RETIRED]
        on_the_bench = models.Q(unit__state__in=out) | models.Q(unit__supply__state__in=out)
        return self.filter(models.Q(missing=True) | models.Q(rank__isnull=False) & on_the_bench)

    def for_list(self):
        """Rooms first, then people, then units, each by name."""
        names = ("room__name", "person__name", "unit__asset_tag")
        return self.select_related("room", "person", "unit__model").order_by(
            *(models.F(name).asc(nulls_last=True) for name in names)
        )

    def with_holders(self):
        """With what reserves them: a session with its project and client, or a block."""
        return self.select_related("session__project__client", "block").annotate(
            overdue=unanswered(models.OuterRef("session"))
        )


class Reservation(models.Model):
    """One room, person or unit that a session takes, with a period and a rank of its own;
    or that a block keeps from being taken, always in first place.

    The period holds the minutes before and after the session, of which a block has none.
    Rank 1 owns the time, rank 2 is the second hold, and so on; no rank at all takes nothing (an
    enquiry, or released, or `missing`: given up to a block, though the session has its time). That no two of the same resource and rank overlap is kept by the
    database: `sessions/constraints/`.
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
    missing = models.BooleanField(
        default=False,
        editable=False,
        help_text="Given up to a block, while its session keeps its time: a stand-in is wanted.",
    )
    history = History()

    objects = ReservationQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="reservation_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=one_of("room", "person", "unit"), name="reservation_of_one_resource"
            ),
            models.CheckConstraint(
                condition=one_of("session", "block"), name="reservation_for_session_or_block"
            ),
            models.CheckConstraint(
                condition=models.Q(rank__isnull=True) | models.Q(rank__gte=1),
                name="reservation_rank_from_one",
            ),
            models.CheckConstraint(
                condition=models.Q(missing=False)
                | models.Q(rank__isnull=True, session__isnull=False),
                name="reservation_missing_has_no_rank",
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
        """Its rank in words. Costs a query if the session is not loaded."""
        if self.missing:
            return "missing"
        if self.rank is None:
            return "reserves nothing"
        if self.block_id:
            return "blocked"
        overdue = getattr(self, "overdue", False)
        return standing_in_words(self.session.status, self.rank, overdue=overdue)

    @property
    def padding(self) -> Padding:
        return Padding(self.before_minutes, self.after_minutes)

    @property
    def ready_at(self):
        """When what is done before the session is over."""
        return self.starts_at + timedelta(minutes=self.before_minutes)

    @property
    def done_at(self):
        """When the session is over, and what is done after it begins."""
        return self.ends_at - timedelta(minutes=self.after_minutes)

    @property
    def holder(self):
        """The session or the block that it belongs to. Costs a query if that is not loaded."""
        return self.session or self.block

    @property
    def period_in_words(self) -> str:
        return period_in_words(self.starts_at, self.ends_at)

    def overlaps(self, other: "Reservation") -> bool:
        return self.starts_at < other.ends_at and other.starts_at < self.ends_at
