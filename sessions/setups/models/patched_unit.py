"""One unit as it is patched and set, of a chain or of a mix: with every control of its panel."""

from itertools import groupby

from django.db import models
from django.utils.functional import cached_property

from gear.equipment.models import Unit, check_channel
from gear.panels.models import Control, Panel
from gear.patchbay.models import PatchPoint
from sessions.setups.models.settings import PanelSettings
from sessions.setups.models.snapshot import ChangedSince, StageFacts, changes_between

#: What a page or sheet of one reads, for `select_related`.
UNIT_AND_JACKS = ("unit__model", "unit__supply__model", "panel", "patch_in__bay", "patch_out__bay")


class PatchedUnit(PanelSettings):
    """`snapshot` holds what stood there when its revision was fixed (`StageFacts`)."""

    unit = models.ForeignKey(Unit, models.PROTECT, related_name="%(class)ss")
    channel = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Of a unit with several: which of them."
    )
    panel = models.ForeignKey(
        Panel, models.PROTECT, null=True, blank=True, related_name="%(class)ss"
    )
    patch_in = models.ForeignKey(
        PatchPoint,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="%(class)ss_in",
        verbose_name="patched in at",
    )
    patch_out = models.ForeignKey(
        PatchPoint,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="%(class)ss_out",
        verbose_name="patched out at",
    )
    snapshot = models.JSONField(default=dict, blank=True, editable=False)
    note = models.TextField(blank=True)

    class Meta:
        abstract = True

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

    def settings_by_group(self) -> list[tuple[str, list[tuple[Control, float | None]]]]:
        """The groups of the panel in signal order, each with its controls and how they were set."""
        return [
            (group, [(control, self.setting(control)) for control in controls])
            for group, controls in groupby(self.controls(), key=lambda control: control.group)
        ]
