from django import forms

from gear.editing.units import UnitsForm
from gear.equipment.lists.columns import MODEL_COLUMNS
from gear.equipment.models import Fault, FaultState, GearModel, Unit, UnitState, check_channel


class GearModelForm(UnitsForm):
    class Meta:
        model = GearModel
        fields = [column.field.name for column in MODEL_COLUMNS]
        labels = {"name": "Model"}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def clean(self):
        facts = super().clean()
        same = GearModel.objects.filter(maker=facts.get("maker"), name=facts.get("name"))
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error("name", "This model exists already: add a unit to it.")
        return facts


class UnitForm(forms.ModelForm):
    class Meta:
        model = Unit
        fields = [
            "model",
            "asset_tag",
            "serial_number",
            "state",
            "home_room",
            "rack",
            "slot",
            "supply",
            "note",
        ]
        error_messages = {"asset_tag": {"unique": "Another unit carries this tag."}}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        supplies = Unit.objects.supplies() | Unit.objects.filter(pk=self.instance.supply_id)
        self.fields["supply"].queryset = supplies.select_related("model").exclude(
            pk=self.instance.pk
        )


class FaultForm(forms.ModelForm):
    """What is wrong, in a sentence or two."""

    to_bench = forms.BooleanField(
        label="Put the unit on the bench",
        required=False,
        help_text="It cannot be booked or patched until it is back in service.",
    )

    def __init__(self, *args, unit: Unit | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.unit = unit
        if unit and unit.model.channels == 1:
            del self.fields["channel"]

    def clean(self):
        facts = super().clean()
        unit = self.unit or facts.get("unit")
        if unit and facts.get("channel") is not None:
            check_channel(unit, facts["channel"])
        return facts

    class Meta:
        model = Fault
        fields = ["channel", "description"]
        labels = {"description": "What is wrong"}
        help_texts = {"description": "What you heard or saw, when, and what you had set."}
        widgets = {"description": forms.Textarea(attrs={"rows": 4})}


class FaultWorkForm(forms.ModelForm):
    put = forms.ChoiceField(
        label="The unit",
        required=False,
        choices=[
            ("", "Leave it as it is"),
            (UnitState.ON_THE_BENCH, "Put it on the bench"),
            (UnitState.IN_SERVICE, "Return it to service"),
        ],
    )

    class Meta:
        model = Fault
        fields = ["description", "state", "remedy"]
        labels = {"description": "What is wrong", "remedy": "What was done"}
        help_texts = {"remedy": "Needed to close it: what was found and how it was repaired."}
        widgets = {
            "description": forms.Textarea(attrs={"rows": 4}),
            "remedy": forms.Textarea(attrs={"rows": 4}),
        }

    def clean(self):
        facts = super().clean()
        if facts.get("state") == FaultState.CLOSED and not facts.get("remedy"):
            self.add_error("remedy", "Say what was done before you close the fault.")
        return facts
