"""Rates, terms, and what was quoted and worked. Decimal throughout; currencies are never mixed."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse

from gear.editing.versions import Versioned
from gear.equipment.models import GearModel, Unit
from sessions.clients.models import Person
from sessions.editing.rules import CURRENCY, PERCENT, one_of
from sessions.rooms.models import Room

NOT_NEGATIVE = [MinValueValidator(0)]
MINUTES = [MaxValueValidator(24 * 60)]
BEGUN_MINUTES = [MinValueValidator(1), *MINUTES]


class RateCard(Versioned):
    """The prices and billing rules that a session is charged by."""

    name = models.CharField(max_length=80, unique=True)
    currency = models.CharField(
        max_length=3,
        default="GBP",
        validators=[CURRENCY],
        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
    )
    minimum_minutes = models.PositiveIntegerField(
        "minimum charge per day, minutes",
        default=120,
        validators=MINUTES,
        help_text="A shorter day is billed as this much.",
    )
    step_minutes = models.PositiveSmallIntegerField(
        "billing step, minutes",
        default=30,
        validators=BEGUN_MINUTES,
        help_text="Time is billed in whole steps; a started step counts in full.",
    )
    day_minutes = models.PositiveIntegerField(
        "hours of a day rate, minutes",
        default=600,
        validators=BEGUN_MINUTES,
        help_text="From so much on a day, the day rate applies.",
    )
    overtime_after_minutes = models.PositiveIntegerField(
        "overtime after, minutes",
        null=True,
        blank=True,
        validators=MINUTES,
        help_text="Of work on one day. Empty: no overtime.",
    )
    overtime_percent = models.DecimalField(
        "overtime surcharge, per cent",
        max_digits=5,
        decimal_places=2,
        default=Decimal(50),
        validators=NOT_NEGATIVE,
        help_text="On top of the hourly rate.",
    )
    set_up_percent = models.DecimalField(
        "load-in and teardown, per cent of the hourly rate",
        max_digits=5,
        decimal_places=2,
        default=0,
        validators=PERCENT,
        help_text="For the minutes that are reserved around a session for rooms and people. 0: they "
        "are not billed. 100: in full.",
    )
    deposit_percent = models.DecimalField(
        "deposit, per cent",
        max_digits=5,
        decimal_places=2,
        default=Decimal(50),
        validators=PERCENT,
    )
    tax_name = models.CharField("tax name", max_length=20, default="VAT")
    tax_percent = models.DecimalField(
        "tax, per cent", max_digits=5, decimal_places=2, default=Decimal(20), validators=PERCENT
    )
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("terms:card", args=[self.pk])


class Basis(models.TextChoices):
    HOUR = "hour", "By the hour"
    DAY = "day", "By the day"
    LOCKOUT = "lockout", "By the lockout day"
    SESSION = "session", "Once a session"


class Rate(Versioned):
    """What one room, person, unit or any unit of a model costs on a card."""

    card = models.ForeignKey(RateCard, models.CASCADE, related_name="rates")
    room = models.ForeignKey(Room, models.PROTECT, null=True, blank=True, related_name="rates")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="rates")
    unit = models.ForeignKey(Unit, models.PROTECT, null=True, blank=True, related_name="rates")
    gear_model = models.ForeignKey(
        GearModel,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rates",
        verbose_name="any unit of the model",
    )
    basis = models.CharField(max_length=8, choices=Basis)
    amount = models.DecimalField(max_digits=10, decimal_places=2, validators=NOT_NEGATIVE)
    tax_percent = models.DecimalField(
        "tax, per cent",
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        validators=PERCENT,
        help_text="Empty: as the card’s.",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=one_of("room", "person", "unit", "gear_model"),
                name="rate_of_one_thing",
            ),
            models.CheckConstraint(condition=models.Q(amount__gte=0), name="rate_not_negative"),
            models.UniqueConstraint("card", "room", "basis", name="rate_room_once"),
            models.UniqueConstraint("card", "person", "basis", name="rate_person_once"),
            models.UniqueConstraint("card", "unit", "basis", name="rate_unit_once"),
            models.UniqueConstraint("card", "gear_model", "basis", name="rate_model_once"),
        ]

    def __str__(self) -> str:
        return f"{self.thing} {self.get_basis_display().lower()}"

    @property
    def thing(self):
        """What it is the price of. Costs a query if that is not loaded."""
        return self.room or self.person or self.unit or self.gear_model

    @property
    def key(self) -> tuple[str, int]:
        """The field that names the thing, and its primary key; loads nothing."""
        fields = ("room", "person", "unit", "gear_model")
        return next((name, key) for name in fields if (key := getattr(self, f"{name}_id")))


class CountedFrom(models.TextChoices):
    START = "start", "Start of the session"
    BOOKED_DAY = "booked_day", "Start of the session’s day"


class CancellationTerms(Versioned):
    """What a cancellation costs, by how long before the session it comes: steps, as data."""

    name = models.CharField(max_length=80, unique=True)
    counted_from = models.CharField(
        "notice is counted to", max_length=12, choices=CountedFrom, default=CountedFrom.START
    )
    grace_minutes = models.PositiveSmallIntegerField(
        "grace, minutes",
        default=0,
        help_text="How late a client may come before time counts from the booked start. 0: it "
        "always does.",
    )
    moving_is_free = models.BooleanField("moving to another time is free", default=False)
    files_after_payment = models.BooleanField("files only after full payment", default=False)
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        verbose_name_plural = "cancellation terms"
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("terms:detail", args=[self.pk])


class NoticeUnit(models.TextChoices):
    HOURS = "hours", "Hours"
    DAYS = "days", "Days"
    BUSINESS_DAYS = "business_days", "Business days"
    MONTHS = "months", "Calendar months"
    BOOKED_LENGTH = "booked_length", "Times the booked length"


class ChargeOf(models.TextChoices):
    FEE = "fee", "Of the fee"
    DEPOSIT = "deposit", "Of the deposit"


class AppliesTo(models.TextChoices):
    ALL = "all", "All sessions"
    HOURLY = "hourly", "Sessions within one day"
    DAY = "day", "One-day sessions"
    DAYS = "days", "Sessions over several days"
    SAME_DAY = "same_day", "Sessions booked on their own day"


class CancellationStep(Versioned):
    """A charge for notice of at least `notice_from` and less than `notice_below` (half-open).

    No `notice_below` means however early. Notice of exactly the stated length counts as in time.
    """

    terms = models.ForeignKey(CancellationTerms, models.CASCADE, related_name="steps")
    applies_to = models.CharField(max_length=10, choices=AppliesTo, default=AppliesTo.ALL)
    notice_unit = models.CharField(
        "notice is counted in", max_length=14, choices=NoticeUnit, default=NoticeUnit.HOURS
    )
    notice_from = models.DecimalField(
        "notice of at least",
        max_digits=7,
        decimal_places=2,
        default=0,
        validators=NOT_NEGATIVE,
        help_text="Notice of exactly this length counts. 0: up to the start.",
    )
    notice_below = models.DecimalField(
        "and less than",
        max_digits=7,
        decimal_places=2,
        null=True,
        blank=True,
        validators=NOT_NEGATIVE,
        help_text="Empty: no upper limit.",
    )
    percent = models.DecimalField(
        "charge, per cent",
        max_digits=5,
        decimal_places=2,
        validators=PERCENT,
        help_text="0 where nothing is charged.",
    )
    charge_of = models.CharField(
        "charge of what", max_length=8, choices=ChargeOf, default=ChargeOf.FEE
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(notice_below__isnull=True)
                | models.Q(notice_below__gt=models.F("notice_from")),
                name="cancellation_step_runs_forward",
            ),
        ]
        ordering = ["terms", "applies_to", "-notice_from", "pk"]

    def __str__(self) -> str:
        return f"{self.percent} % {self.get_charge_of_display().lower()}"
