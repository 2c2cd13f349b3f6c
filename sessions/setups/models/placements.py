from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from gear.editing.history import History
from sessions.clients.visible import OfAProject

FROM_ZERO = [MinValueValidator(0)]


class PlacementQuerySet(OfAProject):
    to_project = "revision__chain__setup__session__project"


class Orientation(models.TextChoices):
    UPRIGHT = "upright", "Upright"
    HUNG = "hung", "Hung upside down"
    SIDEWAYS = "sideways", "On its side"


class Towards(models.TextChoices):
    """Where the microphone's axis points, as one faces the source from the microphone."""

    LEFT = "left", "Left of the source"
    RIGHT = "right", "Right of the source"
    ABOVE = "above", "Above the source"
    BELOW = "below", "Below the source"
    ABOVE_LEFT = "above_left", "Above and left of the source"
    ABOVE_RIGHT = "above_right", "Above and right of the source"
    BELOW_LEFT = "below_left", "Below and left of the source"
    BELOW_RIGHT = "below_right", "Below and right of the source"

    @property
    def across(self) -> int:
        """-1 to the left, 1 to the right, 0 to neither."""
        return ("right" in self.value) - ("left" in self.value)

    @property
    def up(self) -> int:
        """1 above, -1 below, 0 neither."""
        return ("above" in self.value) - ("below" in self.value)


class Placement(models.Model):
    """Where the microphone stood: enough to put it back."""

    #: What is written down of it, in the order of forms and sheets.
    FACTS = (
        "distance_cm",
        "height_cm",
        "angle_deg",
        "angle_towards",
        "orientation",
        "pattern",
        "pop_filter",
        "pop_filter_cm",
        "stand",
        "cable",
        "across_cm",
        "along_cm",
        "note",
    )

    revision = models.OneToOneField("Revision", models.CASCADE, related_name="placement")
    distance_cm = models.DecimalField(
        "distance, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=FROM_ZERO,
        help_text="From the capsule to the source.",
    )
    height_cm = models.DecimalField(
        "height, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=FROM_ZERO,
        help_text="Of the capsule above the floor.",
    )
    angle_deg = models.DecimalField(
        "angle, degrees",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(180)],
        help_text="Between the microphone’s axis and the source; 0 is straight on.",
    )
    angle_towards = models.CharField(
        "axis points",
        max_length=11,
        choices=Towards,
        blank=True,
        help_text="Left and right as one faces the source from the microphone.",
    )
    orientation = models.CharField(max_length=10, choices=Orientation, blank=True)
    pattern = models.CharField(max_length=40, blank=True, help_text="Cardioid, omnidirectional …")
    pop_filter = models.BooleanField("pop filter", default=False)
    pop_filter_cm = models.DecimalField(
        "pop filter to capsule, cm",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=FROM_ZERO,
    )
    across_cm = models.DecimalField(
        "to the right of the group’s middle, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="As one faces the source; to the left is below zero.",
    )
    along_cm = models.DecimalField(
        "in front of the group’s middle, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Towards the source; behind is below zero.",
    )
    stand = models.CharField(max_length=40, blank=True, help_text="Tall boom, short, clip …")
    cable = models.CharField(
        max_length=40, blank=True, help_text="Which one, or how long: no. 14, blue, 10 m …"
    )
    note = models.TextField(blank=True)
    history = History()

    objects = PlacementQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.distance_cm} cm" if self.distance_cm is not None else "not measured"
