from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.functional import cached_property

from gear.editing.history import History
from gear.panels.models import Meaning
from sessions.clients.visible import OfAProject
from sessions.setups.models.patched_unit import UNIT_AND_JACKS, PatchedUnit
from sessions.setups.models.photos import Photo

LONGEST_CORD_CM = 100_000


class Path(models.TextChoices):
    PRINTED = "printed", "Printed"
    MONITOR_ONLY = "monitor", "Monitor only"


class StageQuerySet(OfAProject):
    to_project = "revision__chain__setup__session__project"

    def for_list(self):
        """Stages with all that a page or sheet prints."""
        return self.select_related(*UNIT_AND_JACKS).prefetch_related("panel__controls")


class Stage(PatchedUnit):
    """One unit in a chain, with every control as it was set."""

    revision = models.ForeignKey("Revision", models.CASCADE, related_name="stages")
    position = models.PositiveSmallIntegerField()
    path = models.CharField(max_length=8, choices=Path, default=Path.PRINTED)
    cord_cm = models.PositiveIntegerField(
        "cord out, cm",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(LONGEST_CORD_CM)],
        help_text="How long the cord or cable is that leads on from it, where that matters.",
    )
    tone_reading_dbu = models.DecimalField(
        "tone at its output, dBu", max_digits=5, decimal_places=2, null=True, blank=True
    )
    reading_out_dbu = models.DecimalField(
        "level at its output, dBu", max_digits=5, decimal_places=2, null=True, blank=True
    )
    planned_reduction_low_db = models.DecimalField(
        "planned gain reduction from, dB", max_digits=4, decimal_places=1, null=True, blank=True
    )
    planned_reduction_high_db = models.DecimalField(
        "planned gain reduction to, dB", max_digits=4, decimal_places=1, null=True, blank=True
    )
    history = History()

    objects = StageQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("revision", "position", name="stage_position_once"),
        ]
        ordering = ["revision", "position"]

    def begin_as_copy(self) -> None:
        """Nothing of it was read yet; what is said of a supply that is on is of another day."""
        self.tone_reading_dbu = self.reading_out_dbu = None
        if self.controls_for(Meaning.POWER):
            self.note = ""
        super().begin_as_copy()

    @property
    def is_printed(self) -> bool:
        return self.path == Path.PRINTED

    @property
    def photo_key(self) -> str:
        """By which a form says that a photograph is of it. Reads self.revision."""
        return f"unit-{self.revision.chain_id}-{self.unit_id}-{self.channel or 0}"

    @property
    def photos_in_force(self) -> list[Photo]:
        """No query if its revision is loaded `with_stages`."""
        return [photo for photo in self.revision.photos_in_force if photo.shows(self)]

    @cached_property
    def photographed(self) -> frozenset[str]:
        """The keys of the controls that can be read on its photographs and are not logged."""
        reads = (key for photo in self.photos_in_force for key in photo.reads)
        return frozenset(reads) - self.settings.keys()
