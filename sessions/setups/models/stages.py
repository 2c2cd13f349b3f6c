from itertools import groupby

from django.db import models
from django.utils.functional import cached_property
from simple_history.models import HistoricalRecords

from gear.equipment.models import Unit, check_channel
from gear.panels.models import Control, Meaning, Panel
from gear.patchbay.models import PatchPoint
from sessions.bookings.models import RecordingSession
from sessions.setups.models.photos import Photo
from sessions.setups.models.settings import PanelSettings
from sessions.setups.models.snapshot import ChangedSince, StageFacts, changes_between


class Path(models.TextChoices):
    PRINTED = "printed", "Printed"
    MONITOR_ONLY = "monitor", "Monitor only"


class StageQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(
            revision__chain__setup__session__in=RecordingSession.objects.visible_to(user)
        )

    def for_list(self):
        """Stages with all that a page or sheet prints."""
        return self.select_related(
            "unit__model", "unit__supply__model", "panel", "patch_in__bay", "patch_out__bay"
        ).prefetch_related("panel__controls")


class Stage(PanelSettings):
    """One unit in a chain, with every control as it was set.

    `snapshot` holds what stood there when the revision was fixed (`StageFacts`).
    """

    revision = models.ForeignKey("Revision", models.CASCADE, related_name="stages")
    position = models.PositiveSmallIntegerField()
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="stages")
    channel = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Of a unit with several: which of them."
    )
    panel = models.ForeignKey(Panel, models.PROTECT, null=True, blank=True, related_name="stages")
    path = models.CharField(max_length=8, choices=Path, default=Path.PRINTED)
    patch_in = models.ForeignKey(
        PatchPoint,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="stages_in",
        verbose_name="patched in at",
    )
    patch_out = models.ForeignKey(
        PatchPoint,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="stages_out",
        verbose_name="patched out at",
    )
    snapshot = models.JSONField(default=dict, blank=True, editable=False)
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
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    objects = StageQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("revision", "position", name="stage_position_once"),
        ]
        ordering = ["revision", "position"]

    def __str__(self) -> str:
        """Reads self.unit.model; if not loaded, this causes SQL queries."""
        return f"{self.position}. {self.unit}"

    @cached_property
    def facts(self) -> StageFacts:
        """Its unit and jacks as a sheet prints them: of a fixed revision those of its day, else
        today's. What can hurt someone is asked of `unit`, which is today's record."""
        return StageFacts.from_json(self.snapshot) if self.snapshot else StageFacts.of(self)

    def clean(self):
        if self.channel is not None:
            check_channel(self.unit, self.channel)

    def changed_since(self) -> list[ChangedSince]:
        """What today's record says otherwise than the facts of its day. Load it `for_list`."""
        return changes_between(self.facts, StageFacts.of(self)) if self.snapshot else []

    def begin_as_copy(self) -> None:
        """Nothing of it was read yet; what is said of a supply that is on is of another day."""
        self.tone_reading_dbu = self.reading_out_dbu = None
        if self.controls_for(Meaning.POWER):
            self.note = ""
        super().begin_as_copy()

    @property
    def is_printed(self) -> bool:
        return self.path == Path.PRINTED

    def controls(self) -> list[Control]:
        """Its panel's controls in signal order. Costs a query unless loaded `for_list`."""
        return list(self.panel.controls.all()) if self.panel else []

    def controls_for(self, meaning: str) -> list[Control]:
        return [control for control in self.controls() if control.meaning == meaning]

    def setting(self, control: Control) -> float | None:
        """How the control was set, in its unit; None when that was not logged."""
        return self.settings.get(control.key)

    def controls_not_yet_set(self) -> list[Control]:
        return [control for control in self.controls() if control.key in self.not_yet_set]

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

    def settings_by_group(self) -> list[tuple[str, list[tuple[Control, float | None]]]]:
        """The groups of the panel in signal order, each with its controls and how they were set."""
        return [
            (group, [(control, self.setting(control)) for control in controls])
            for group, controls in groupby(self.controls(), key=lambda control: control.group)
        ]
