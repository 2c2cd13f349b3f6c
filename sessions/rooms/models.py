"""The studio itself, its rooms, when they are open and people work, and the rules of the house."""

from base64 import b64encode
from decimal import Decimal
from email.headerregistry import Address
from email.utils import parseaddr
from uuid import UUID, uuid4

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.crypto import salted_hmac

from gear.audio.proving.three_tones.layout import BOTTOMS_HZ, TOPS_HZ
from gear.audio.values import format_value
from gear.editing.history import History
from gear.editing.versions import Versioned
from sessions.clients.models import Person, RetirableQuerySet
from sessions.editing.rules import CURRENCY, PERCENT, one_of

AS_ISSUED = (
    *("name", "address", "phone", "email", "sender"),
    *("registration_number", "tax_number", "bank_details"),
)


class Studio(Versioned):
    """What the house says of itself on whatever leaves it: one row.

    Whoever reads it asks `current()`; what a paper or letter said once is not changed by it.
    """

    name = models.CharField(max_length=100, help_text="On every page, paper and letter.")
    address = models.TextField(
        blank=True, help_text="As on an envelope, a line each. On papers and letters."
    )
    phone = models.CharField(
        "telephone",
        max_length=40,
        blank=True,
        help_text="On papers and letters, and told to whoever opens a link that has ended.",
    )
    email = models.EmailField(
        "e-mail", blank=True, help_text="Where clients write to. On papers and letters."
    )
    sender = models.EmailField(
        "sender of letters",
        blank=True,
        help_text="Letters and calendar invitations come from this address; answers go to it.",
    )
    directions = models.TextField(
        blank=True,
        help_text="How to find the door, where to park and unload. On confirmations, call sheets "
        "and letters.",
    )
    registration_number = models.CharField(
        max_length=60, blank=True, help_text="Of the company. At the foot of clients’ papers."
    )
    tax_number = models.CharField(
        max_length=60, blank=True, help_text="At the foot of clients’ papers."
    )
    bank_details = models.TextField(
        blank=True, help_text="Where you are paid, a line each. On quotes and work orders."
    )
    logo = models.BinaryField(
        blank=True, default=bytes, help_text="A PNG that we made of what was uploaded."
    )

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="studio_once")]

    def __str__(self) -> str:
        return self.name

    @classmethod
    def current(cls) -> "Studio":
        """The one row, or what stands for it until it is saved first: the name that the environment
        gives. Writes nothing; a query."""
        rows = cls.objects.defer("logo").filter(pk=1)
        return rows.first() or cls(pk=1, name=settings.STUDIO_NAME)

    @classmethod
    def to_edit(cls) -> "Studio":
        """The one row, made where there is none."""
        return cls.objects.get_or_create(pk=1, defaults={"name": settings.STUDIO_NAME})[0]

    @property
    def writes_as(self) -> str:
        """Who letters are from: the name, and the address that the setting gives if none is saved.
        Calendar files name the same address as their organiser."""
        address = self.sender or parseaddr(settings.DEFAULT_FROM_EMAIL)[1]
        return str(Address(" ".join(self.name.split()), addr_spec=address))

    @property
    def closing(self) -> str:
        """How a letter of the house ends."""
        return "\n".join(filter(None, [self.name, self.phone, self.email]))

    def as_issued(self) -> dict[str, str]:
        """What a paper keeps of it from the day on which it is issued."""
        return {name: getattr(self, name) for name in AS_ISSUED}

    @property
    def logo_on_paper(self) -> str:
        """An address that holds the picture itself; empty without one."""
        return f"data:image/png;base64,{b64encode(self.logo).decode()}" if self.logo else ""

    @property
    def address_lines(self) -> list[str]:
        return _lines(self.address)

    @property
    def bank_lines(self) -> list[str]:
        return _lines(self.bank_details)

    @property
    def contact(self) -> list[str]:
        """Telephone and e-mail, as far as they are given."""
        return [each for each in (self.phone, self.email or self.sender) if each]

    @property
    def legal(self) -> str:
        """The foot of a client's paper."""
        named = [("Company number", self.registration_number), ("Tax number", self.tax_number)]
        return " · ".join(f"{name} {number}" for name, number in named if number)


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


class Room(Versioned):
    name = models.CharField(max_length=60, unique=True)
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)

    objects = RetirableQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


Weekday = models.IntegerChoices(
    "Weekday", "MONDAY TUESDAY WEDNESDAY THURSDAY FRIDAY SATURDAY SUNDAY", start=0
)


class WeeklyHours(models.Model):
    """When a room is open or a person works, week by week, in the studio's zone.

    A closing time at or before the opening time is the next day's: 18:00 to 02:00. A room or
    person without any rows is there at all hours.
    """

    room = models.ForeignKey(Room, models.PROTECT, null=True, blank=True, related_name="hours")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="hours")
    weekday = models.PositiveSmallIntegerField(choices=Weekday)
    opens = models.TimeField("from")
    closes = models.TimeField("to")
    history = History()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=one_of("room", "person"), name="weekly_hours_of_room_or_person"
            ),
            models.UniqueConstraint("room", "weekday", "opens", name="room_opens_once"),
            models.UniqueConstraint("person", "weekday", "opens", name="person_begins_once"),
        ]
        ordering = ["weekday", "opens", "pk"]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()} {self.opens:%H:%M} to {self.closes:%H:%M}"


def _hertz_text(hertz: float) -> str:
    return format_value(hertz, "Hz")


class HouseRules(Versioned):
    """The studio's own terms: one row."""

    challenge_hours = models.PositiveSmallIntegerField(
        "time to answer a challenge, hours",
        default=24,
        validators=[MinValueValidator(24), MaxValueValidator(48)],
        help_text="24 to 48. A hold that is not confirmed by then lapses.",
    )
    follow_up_hours = models.PositiveSmallIntegerField(
        "follow-up on a challenge, hours before",
        default=6,
        validators=[MaxValueValidator(23)],
        help_text="Client and managers are written to again, if it is not answered. 0: never.",
    )
    reminder_hours = models.PositiveSmallIntegerField(
        "reminder of a session, hours before",
        default=24,
        validators=[MaxValueValidator(14 * 24)],
        help_text="To the client and all who come to a confirmed session. 0: none is sent.",
    )
    session_hours = models.PositiveSmallIntegerField(
        "length of a new session, hours",
        default=4,
        validators=[MinValueValidator(1), MaxValueValidator(24)],
        help_text="What a booking starts from, where the client has none before it.",
    )
    currency = models.CharField(
        max_length=3,
        default="GBP",
        validators=[CURRENCY],
        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
    )
    tax_name = models.CharField("tax", max_length=20, default="VAT")
    tax_percent = models.DecimalField(
        "tax rate, per cent",
        max_digits=5,
        decimal_places=2,
        default=Decimal(20),
        validators=PERCENT,
    )
    release_wording = models.TextField(
        "wording of releases",
        blank=True,
        help_text="What a musician signs at a session, as your lawyer worded it. Empty: releases are "
        "signed on paper, and logged here.",
    )
    second_factor_for_managers = models.BooleanField(
        "managers sign in with a second factor",
        default=False,
        help_text="A code from an authenticator app, beside the password. Whoever has none yet sets it "
        "up at their next page.",
    )
    idle_hours = models.PositiveSmallIntegerField(
        "sign-out without use, hours",
        default=12,
        validators=[MaxValueValidator(31 * 24)],
        help_text="Of a device on which nobody does anything; not while a session that they are booked "
        "for is under way. 0: never.",
    )
    signed_in_days = models.PositiveSmallIntegerField(
        "sign-out in any case, days after the sign-in",
        default=30,  # NIST SP 800-63B, 4.1.3: at least once in 30 days, for the lowest of its levels
        validators=[MaxValueValidator(365)],
        help_text="0: never.",
    )
    sound_tolerance_db = models.DecimalField(
        "tolerance of a chain’s sound, dB",
        max_digits=2,
        decimal_places=1,
        default=Decimal("0.5"),
        validators=[MinValueValidator(Decimal("0.1")), MaxValueValidator(Decimal(3))],
        help_text="0.1 to 3. A rebuilt chain that measures within it is said to agree with what it was.",
    )
    tones_bottom_hz = models.PositiveSmallIntegerField(
        "bottom tone",
        default=80,
        choices=[(int(hertz), _hertz_text(hertz)) for hertz in BOTTOMS_HZ],
        help_text="Of the three that are sent through a chain, beside 1 kHz. A multiple of the mains "
        "frequency (50, 100 … or 60, 120 … Hz) is read with its hum.",
    )
    tones_top_hz = models.PositiveSmallIntegerField(
        "top tone",
        default=10_000,
        choices=[(int(hertz), _hertz_text(hertz)) for hertz in TOPS_HZ],
        help_text="Of the three, beside 1 kHz.",
    )
    # The names of our events in the calendars of others are made of it: see feeds/names.py.
    calendar_namespace = models.UUIDField(default=uuid4, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="house_rules_once"),
            models.CheckConstraint(
                condition=models.Q(challenge_hours__gte=24, challenge_hours__lte=48),
                name="challenge_hours_24_to_48",
            ),
        ]

    def __str__(self) -> str:
        return "House rules"

    @classmethod
    def current(cls) -> "HouseRules":
        """The one row, or what stands for it until it is saved first. Writes nothing; a query."""
        return cls.objects.filter(pk=1).first() or cls(pk=1, **cls._of_its_own())

    @classmethod
    def to_edit(cls) -> "HouseRules":
        """The one row, made with its defaults where there is none."""
        return cls.objects.get_or_create(pk=1, defaults=cls._of_its_own())[0]

    @staticmethod
    def _of_its_own() -> dict:
        """What differs between studios, the same until it is saved: calendars are read before that."""
        digest = salted_hmac("calendar namespace", "", algorithm="sha256").digest()
        return {"calendar_namespace": UUID(bytes=digest[:16], version=4)}
