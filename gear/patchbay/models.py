from django.core.exceptions import ValidationError
from django.db import models
from django.urls import reverse

from gear.editing.history import History
from gear.editing.versions import Versioned
from gear.equipment.models import SignalLevel, Unit


class BayQuerySet(models.QuerySet):
    def for_list(self):
        """Bays with the number of their points as `point_count` and of their rows as `row_count`."""
        return self.annotate(
            point_count=models.Count("points"),
            row_count=models.Count("points__row", distinct=True),
        ).order_by("name")


class Bay(Versioned):
    """A patch bay: rows of points, sources above inputs."""

    name = models.CharField(max_length=40, unique=True)
    location = models.CharField(max_length=60, blank=True)
    note = models.TextField(blank=True)

    objects = BayQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("patchbay:bay_detail", args=[self.pk])


class Side(models.TextChoices):
    SEND = "send", "Source"
    RETURN = "return", "Input"


class PatchPointQuerySet(models.QuerySet):
    def for_list(self):
        return self.select_related("bay", "unit__model")

    def with_links(self):
        """Points with their normals, tie lines and units, in one query."""
        return self.select_related(
            "bay", "unit__model", "tie_line", "normal_to__destination", "normal_from__source"
        )


class PatchPoint(models.Model):
    """One jack of a bay. A source brings a unit's output to the bay; an input leads into a unit."""

    bay = models.ForeignKey(Bay, models.PROTECT, related_name="points")
    row = models.CharField(max_length=4)
    column = models.PositiveSmallIntegerField()
    label = models.CharField(max_length=40)
    level = models.CharField(max_length=12, choices=SignalLevel)
    side = models.CharField(max_length=6, choices=Side)
    unit = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="patch_points"
    )
    channel = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Of a unit with several: the one that is wired here."
    )
    socket = models.CharField(
        max_length=30, blank=True, help_text="The unit’s socket that is wired here."
    )
    mult = models.CharField(
        max_length=20,
        blank=True,
        help_text="Jacks of a bay that name the same mult are joined: one source in, copies out.",
    )
    history = History()

    objects = PatchPointQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("bay", "row", "column", name="patch_point_once"),
        ]
        ordering = ["bay", "row", "column"]

    def __str__(self) -> str:
        """Reads self.bay; if not loaded, this causes a SQL query."""
        return f"{self.name} {self.label}"

    @property
    def name(self) -> str:
        """Where to look: bay, row and column. Reads self.bay."""
        return f"{self.bay.name} {self.place}"

    @property
    def place(self) -> str:
        """Row and column on its bay: A12."""
        return f"{self.row}{self.column}"

    @property
    def normal_text(self) -> str:
        """The normal in words; empty for an open point. Reads the normals: see with_links."""
        if normal := getattr(self, "normal_to", None):
            return f"{normal.get_kind_display()} to {normal.destination.place}"
        if normal := getattr(self, "normal_from", None):
            return f"{normal.get_kind_display()} from {normal.source.place}"
        return ""


class NormalKind(models.TextChoices):
    FULL = "full", "Normalled"
    HALF = "half", "Half-normalled"


class Normal(models.Model):
    """A link inside the bay that holds until a plug breaks it."""

    source = models.OneToOneField(PatchPoint, models.CASCADE, related_name="normal_to")
    destination = models.OneToOneField(PatchPoint, models.CASCADE, related_name="normal_from")
    kind = models.CharField(max_length=4, choices=NormalKind)
    history = History()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(source=models.F("destination")), name="normal_joins_two_points"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.source} to {self.destination}, {self.get_kind_display().lower()}"

    def clean(self):
        """A normal leads from a source to an input. Reads self.source and self.destination."""
        if self.source.side != Side.SEND:
            raise ValidationError(f"{self.source.place} is an input: a normal starts at a source.")
        if self.destination.side != Side.RETURN:
            raise ValidationError(
                f"{self.destination.place} is a source: a normal ends at an input."
            )
        if self.source.mult or self.destination.mult:
            jack = self.source if self.source.mult else self.destination
            raise ValidationError(f"{jack.place} is a jack of mult {jack.mult}: leave it open.")

    def notice(self) -> str:
        """What is odd about the levels that it joins; empty if nothing is."""
        levels = (self.source.level, self.destination.level)
        if levels[0] == levels[1]:
            return ""
        joined = f"{self.source.place} to {self.destination.place}"
        if levels == (SignalLevel.MICROPHONE, SignalLevel.LINE):
            return f"{joined} brings a microphone to a line input: it will be far too quiet there."
        if levels == (SignalLevel.LINE, SignalLevel.MICROPHONE):
            return f"{joined} brings line level to a microphone input: it will overload there."
        said = [point.get_level_display().lower() for point in (self.source, self.destination)]
        return f"{joined} joins {said[0]} level to {said[1]} level."


class TieLine(models.Model):
    """A permanent line from a wall box in a room to a point of a bay."""

    room = models.CharField(max_length=60)
    box = models.CharField(max_length=40)
    line = models.PositiveSmallIntegerField()
    point = models.OneToOneField(PatchPoint, models.PROTECT, related_name="tie_line")
    history = History()

    class Meta:
        constraints = [
            models.UniqueConstraint("room", "box", "line", name="tie_line_once"),
        ]
        ordering = ["room", "box", "line", "pk"]

    def __str__(self) -> str:
        return f"{self.room}, {self.box} {self.line}"
