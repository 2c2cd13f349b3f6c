from django import forms
from django.core.exceptions import ValidationError

from gear.equipment.models import Unit
from gear.panels.models import Panel
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.availability import UnitChoice, choices_for
from sessions.setups.chains.fields import PointNames, SeenField
from sessions.setups.chains.sure import SureForm
from sessions.setups.models import Revision, Stage
from sessions.setups.swapping.carrying import swap_of
from sessions.setups.swapping.harm import asks_before_swap


class SwapForm(SureForm):
    """Which unit of its kind takes the place of a stage, each with what it can't take over."""

    unit = forms.ModelChoiceField(Unit.objects.none(), widget=forms.RadioSelect)
    seen = SeenField()

    def __init__(self, *args, stage: Stage, in_session: list[Revision], **kwargs):
        super().__init__(*args, **kwargs)
        self.stage, self.in_session = stage, in_session
        self.choices = of_kind(stage)
        self.fields["unit"].queryset = Unit.objects.filter(
            pk__in=[choice.unit.pk for choice in self.choices]
        ).select_related("model", "supply__model")

    def lines(self) -> list[tuple[UnitChoice, tuple[str, ...]]]:
        """In a constant number of queries."""
        names, panels = PointNames(PatchPoint.objects.for_list()), current_panels()
        return [
            (
                choice,
                swap_of(
                    self.stage,
                    choice.unit,
                    panel=panels.get(choice.unit.model_id),
                    channel=None,
                    names=names,
                ).lost,
            )
            for choice in self.choices
        ]

    def clean(self):
        facts = super().clean()
        if unit := facts.get("unit"):
            self.ask(asks_before_swap(self.stage, unit, self.in_session))
        elif not self.choices:
            raise ValidationError("No other such unit is free at the session’s time.")
        return facts


def of_kind(stage: Stage) -> list[UnitChoice]:
    """The units of its category that may be picked, but for itself; reserved ones first."""
    offered = choices_for(stage.revision.chain.setup.session, {}).offered
    category = stage.unit.model.category
    return [
        choice
        for choice in offered
        if choice.unit.model.category == category and choice.unit.pk != stage.unit_id
    ]


def current_panels() -> dict[int, Panel]:
    """By the key of their model."""
    panels = Panel.objects.order_by("version").prefetch_related("controls")
    return {panel.model_id: panel for panel in panels}
