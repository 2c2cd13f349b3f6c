from django import forms
from django.core.exceptions import ValidationError

from gear.editing.names import named_once
from gear.editing.units import UnitsForm
from gear.equipment.models import Category, Unit, UnitState
from sessions.clients.models import Person
from sessions.setups.chains.fields import SettingField
from sessions.setups.chains.forms import CONTROL
from sessions.setups.models import Chain, Revision, Source


class ChainChoice(forms.ModelChoiceField):
    def label_from_instance(self, chain: Chain) -> str:
        return f"{chain} ({chain.setup})"


class SourceForm(UnitsForm):
    """Who plays what and how it is tuned, and a field for every control of its amplifier."""

    played_from = ChainChoice(
        Chain.objects.none(),
        required=False,
        label="Re-amplified from",
        empty_label="Played live",
        help_text=Source._meta.get_field("played_from").help_text,
    )

    class Meta:
        model = Source
        fields = [
            "name",
            "performer",
            "place",
            "instrument",
            "tuning_hz",
            "tuning",
            "amplifier",
            "own_amplifier",
            "played_from",
            "note",
        ]
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        source = self.instance
        people = Person.objects.current_or(source.performer_id)
        self.fields["performer"].queryset = people.order_by("name")
        in_service = Unit.objects.filter(
            model__category=Category.AMPLIFIER, state=UnitState.IN_SERVICE
        )
        own = Unit.objects.filter(pk=source.amplifier_id)
        self.fields["amplifier"].queryset = (in_service | own).select_related("model")
        self.fields["amplifier"].help_text = "From the gear list; its controls appear after saving."
        project = source.setup.session.project_id
        chains = Chain.objects.filter(setup__session__project=project).exclude(source=source)
        self.fields["played_from"].queryset = chains.select_related("setup").order_by(
            "-setup__session__starts_at", "position", "pk"
        )
        if source.not_yet_set:
            self.fields["is_set"] = forms.BooleanField(required=False)
        controls = source.panel.controls.all() if source.panel else ()
        self.controls = {f"{CONTROL}{control.key}": control for control in controls}
        for name, control in self.controls.items():
            self.fields[name] = SettingField(control)
            self.initial[name] = source.settings.get(control.key)

    @property
    def plain(self) -> list[forms.BoundField]:
        return [self[name] for name in self.Meta.fields]

    @property
    def set_on_panel(self) -> list[forms.BoundField]:
        return [self[name] for name in self.controls]

    def clean_name(self):
        name = named_once(self, "name", among=self.instance.setup.sources, of=self.instance.setup)
        recorded = Revision.objects.filter(chain__source=self.instance, fixed_at__isnull=False)
        if "name" in self.changed_data and recorded.exists():
            raise ValidationError(
                "Takes use this name, so it can’t change. Copy the chain to use another."
            )
        return name

    def facts(self) -> dict:
        """What the source is to be. Another amplifier starts with nothing logged."""
        facts = {name: self.cleaned_data[name] for name in self.Meta.fields}
        if "amplifier" in self.changed_data:
            unit = facts["amplifier"]
            return facts | {"panel": unit and unit.model.current_panel(), "settings": {}}
        if self.cleaned_data.get("is_set"):
            facts["not_yet_set"] = []
        return facts | {
            "settings": {
                control.key: self.cleaned_data[name]
                for name, control in self.controls.items()
                if self.cleaned_data[name] is not None
            }
        }
