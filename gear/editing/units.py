from django.forms import ModelForm

SHORT = {"minutes": "min", "ohm": "Ω", "per cent": "%"}


class UnitsForm(ModelForm):
    """A field whose name ends in a unit (“distance, cm”) is labelled without it: the unit stands
    behind the field, as `units` of any form do."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.units = {}
        for name, field in self.fields.items():
            field.label, _, unit = str(field.label or "").partition(", ")
            self.units[name] = SHORT.get(unit, unit)
