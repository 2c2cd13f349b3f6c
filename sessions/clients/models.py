from decimal import Decimal

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse

from gear.editing.versions import Versioned
from sessions.clients.naming import FIELDS, RECOMMENDED, Naming, NotAPattern
from sessions.clients.orders import DeliverableKind, Order


class RetirableQuerySet(models.QuerySet):
    """What work refers to is never deleted, it is retired."""

    def current(self):
        return self.filter(retired=False)

    def current_or(self, *chosen):
        """Current ones, and those of the given keys: what was chosen stays choosable."""
        return self.filter(models.Q(retired=False) | models.Q(pk__in=chosen))


class ClientQuerySet(RetirableQuerySet):
    def for_list(self):
        """Clients with the number of their current projects as `project_count`."""
        return self.annotate(
            project_count=models.Count("projects", filter=models.Q(projects__retired=False))
        )


class Client(Versioned):
    """Who books and pays: a label, a band, a company, a private person."""

    name = models.CharField(max_length=120, unique=True)
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)

    objects = ClientQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("clients:detail", args=[self.pk])

    @property
    def address_lines(self) -> list[str]:
        """As on an envelope."""
        return [line.strip() for line in self.address.splitlines() if line.strip()]


class PersonQuerySet(RetirableQuerySet):
    def bookable(self):
        return self.current().filter(bookable=True)

    def for_list(self):
        return self.select_related("client", "user")


class Person(Versioned):
    """A performer, engineer or contact. A bookable person can be reserved for a session."""

    name = models.CharField(max_length=120)
    credited_as = models.CharField(
        max_length=120,
        blank=True,
        help_text="The name on records and label copies, where it is another.",
    )
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    does = models.CharField(
        "role",
        max_length=120,
        blank=True,
        help_text="Recording engineer, fiddle, tour manager …",
    )
    client = models.ForeignKey(
        Client,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="people",
        help_text="The client they are a contact or member of.",
    )
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="person",
        verbose_name="signs in as",
        help_text="The sign-in account of this person, if they have one.",
    )
    bookable = models.BooleanField(
        default=False, help_text="Can be reserved for a session, as staff and freelancers can."
    )
    retired = models.BooleanField(default=False)

    objects = PersonQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("clients:person_detail", args=[self.pk])

    @property
    def name_on_records(self) -> str:
        return self.credited_as or self.name


class SampleRate(models.IntegerChoices):
    """Preferred rates of AES5 and their multiples."""

    R44100 = 44_100, "44.1 kHz"
    R48000 = 48_000, "48 kHz"
    R88200 = 88_200, "88.2 kHz"
    R96000 = 96_000, "96 kHz"
    R176400 = 176_400, "176.4 kHz"
    R192000 = 192_000, "192 kHz"


class BitDepth(models.IntegerChoices):
    B16 = 16, "16 bit"
    B24 = 24, "24 bit"
    B32 = 32, "32 bit float"


def clean_naming(pattern: str) -> None:
    try:
        Naming.read(pattern)
    except NotAPattern as refusal:
        raise ValidationError(str(refusal)) from None


class ProjectQuerySet(RetirableQuerySet):
    def for_list(self):
        """Projects with client loaded and the number of their songs as `song_count`."""
        return self.select_related("client").annotate(song_count=models.Count("songs"))

    def visible_to(self, user):
        """All of the house's projects, or those that name the user as one of their mix engineers."""
        if user.has_perm("studio_sessions.view_all_projects"):
            return self
        return self.filter(
            pk__in=Project.mix_engineers.through.objects.filter(person__user=user).values("project")
        )


class Project(Versioned):
    """What a client records with us, and the format that it is recorded in."""

    client = models.ForeignKey(Client, models.PROTECT, related_name="projects")
    name = models.CharField(max_length=120)
    artist = models.CharField(max_length=120)
    sample_rate = models.PositiveIntegerField(choices=SampleRate, default=SampleRate.R48000)
    bit_depth = models.PositiveSmallIntegerField(choices=BitDepth, default=BitDepth.B24)
    full_scale_dbu = models.DecimalField(
        "analogue level of full scale, dBu",
        max_digits=4,
        decimal_places=1,
        default=Decimal(18),
        # Common practice, no source: alignments in use lie between +14 and +24 dBu.
        validators=[MinValueValidator(0), MaxValueValidator(30)],
        help_text=(
            "The converter’s alignment: +18.0 dBu by EBU R 68, +24.0 dBu where +4.0 dBu reads −20.0 dBFS."
        ),
    )
    file_naming = models.CharField(
        max_length=120,
        blank=True,
        default=RECOMMENDED,
        validators=[clean_naming],
        help_text=(
            "How delivered files are named, as agreed with the client: fields in braces and what stands "
            f"between, for example {RECOMMENDED}. Fields: {', '.join(FIELDS)}."
        ),
    )
    delivery_rules = models.JSONField(default=dict, blank=True)
    mix_engineers = models.ManyToManyField(
        Person,
        blank=True,
        related_name="mixes",
        help_text="They can see this project and its songs. Only people who sign in are listed.",
    )
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)
    _history_m2m_fields = [mix_engineers]

    objects = ProjectQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("client", "name", name="project_once_a_client"),
        ]
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("clients:project_detail", args=[self.pk])

    @property
    def order(self) -> Order:
        return Order.read(self.delivery_rules)

    @property
    def ordered(self) -> list[DeliverableKind]:
        """What is to be delivered for each song."""
        return self.order.kinds

    @property
    def naming(self) -> Naming | None:
        """None where no naming was agreed, or one that is no pattern."""
        try:
            return Naming.read(self.file_naming)
        except NotAPattern:
            return None

    @property
    def format_ordered(self) -> tuple[int, int]:
        """Sample rate and bit depth of what is delivered: as recorded, where nothing else was agreed."""
        order = self.order
        return order.sample_rate or self.sample_rate, order.bit_depth or self.bit_depth

    @property
    def format_ordered_in_words(self) -> str:
        rate, depth = self.format_ordered
        return f"{SampleRate(rate).label}, {BitDepth(depth).label}"
