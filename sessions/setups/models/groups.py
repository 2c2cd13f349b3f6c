from dataclasses import asdict, dataclass
from typing import Self

from django.db import models
from django.urls import reverse

from gear.audio.values import number_text
from gear.editing.versions import Versioned
from sessions.clients.visible import OfAProject


class Arrangement(models.TextChoices):
    """How the microphones of a group stand to each other."""

    COINCIDENT = "coincident", "Coincident pair"
    NEAR_COINCIDENT = "near_coincident", "Near-coincident pair"
    SPACED = "spaced", "Spaced pair"
    MID_SIDE = "mid_side", "Mid/side pair"
    GROUP = "group", "Group: drums, piano, strings …"


class Seat(models.TextChoices):
    """Which of its group a chain is."""

    LEFT = "left", "Left"
    RIGHT = "right", "Right"
    MID = "mid", "Mid"
    SIDE = "side", "Side"
    CENTRE = "centre", "Centre"


class ChainGroupQuerySet(OfAProject):
    to_project = "setup__session__project"


class ChainGroup(Versioned):
    """Chains that belong together: a stereo pair, a drum kit, a section of strings."""

    setup = models.ForeignKey("Setup", models.PROTECT, related_name="groups")
    name = models.CharField(max_length=60, help_text="Overheads, drums, main pair …")
    arrangement = models.CharField(max_length=15, choices=Arrangement, default=Arrangement.GROUP)
    spacing_cm = models.DecimalField(
        "spacing, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="From capsule to capsule.",
    )
    included_angle_deg = models.DecimalField(
        "included angle, degrees",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Between the axes of the two.",
    )
    is_matched = models.BooleanField(
        "settings alike",
        default=True,
        help_text="Of a pair: what is set on one is set on the other too, where it has the same panel "
        "at the same place in its path.",
    )
    note = models.TextField(blank=True)

    objects = ChainGroupQuerySet.as_manager()

    class Meta:
        verbose_name = "group"
        constraints = [
            models.UniqueConstraint("setup", "name", name="chain_group_name_once_a_setup"),
        ]
        ordering = ["setup", "name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("setups:session", args=[self.setup.session_id])

    @property
    def is_pair(self) -> bool:
        return self.arrangement != Arrangement.GROUP

    @property
    def is_set_alike(self) -> bool:
        """Whether what is set on one half goes to the other."""
        return self.is_pair and self.is_matched


@dataclass(frozen=True)
class GroupFacts:
    """What a chain's group was when its revision was fixed, or is today."""

    name: str
    arrangement: str
    seat: str
    spacing_cm: float | None
    included_angle_deg: float | None

    @classmethod
    def of(cls, chain) -> Self | None:
        """By today's record. Reads chain.group."""
        return cls.of_group(chain.group, chain.seat) if chain.group else None

    @classmethod
    def of_group(cls, group: ChainGroup, seat: str = "") -> Self:
        figures = (group.spacing_cm, group.included_angle_deg)
        spacing, angle = (None if figure is None else float(figure) for figure in figures)
        return cls(group.name, group.arrangement, seat, spacing, angle)

    @property
    def is_pair(self) -> bool:
        return self.arrangement != Arrangement.GROUP

    def to_json(self) -> dict:
        return asdict(self)

    def __str__(self) -> str:
        """Overheads, left: spaced pair, 60 cm apart."""
        return f"{self.place}: {self.arranged}"

    @property
    def place(self) -> str:
        """Overheads, left."""
        return f"{self.name}, {self.side}" if self.seat else self.name

    @property
    def side(self) -> str:
        """left; empty where its chain has none."""
        return Seat(self.seat).label.lower() if self.seat else ""

    @property
    def arranged(self) -> str:
        """Spaced pair, 60 cm apart: without its name."""
        said = [Arrangement(self.arrangement).label.partition(":")[0].lower()]
        if self.spacing_cm is not None:
            said.append(f"{number_text(self.spacing_cm, 'cm')} apart")
        if self.included_angle_deg is not None:
            said.append(f"{number_text(self.included_angle_deg, '°')} between the axes")
        return ", ".join(said)
