from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from simple_history.models import HistoricalRecords

from sessions.bookings.models import RecordingSession

FROM_ZERO = [MinValueValidator(0)]


class PlacementQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(
            revision__chain__setup__session__in=RecordingSession.objects.visible_to(user)
        )


class Orientation(models.TextChoices):
    UPRIGHT = "upright", "Upright"
    HUNG = "hung", "Hung upside down"
    SIDEWAYS = "sideways", "On its side"


class Placement(models.Model):
    """Where the microphone stood: enough to put it back."""

    #: What is written down of it, in the order of forms and sheets.
    FACTS = (
        "distance_cm",
        "height_cm",
        "angle_deg",
        "orientation",
        "pattern",
        "pop_filter",
        "pop_filter_cm",
        "stand",
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
        validators=[MinValueValidator(-180), MaxValueValidator(180)],
        help_text="Between the microphone’s axis and the source; 0 is straight on.",
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
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    objects = PlacementQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.distance_cm} cm" if self.distance_cm is not None else "not measured"
