from django.forms import DecimalField, FloatField, IntegerField, ModelForm, NumberInput

from gear.editing.figures import FigureField

SHORT = {"minutes": "min", "ohm": "Ω", "per cent": "%"}
NOT_A_NUMBER = "Enter a number, such as 45 or 12.50."
LIMITS = {
    "min_value": "Give %(limit_value)s or more.",
    "max_value": "Give %(limit_value)s or less.",
}


class UnitsForm(ModelForm):
    """A field whose name ends in a unit (“distance, cm”) is labelled without it: the unit stands
    behind the field, as `units` of any form do, and may be typed. What cannot be a number is told as
    the house does."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.units = {}
        for name, field in list(self.fields.items()):
            field.label, _, unit = str(field.label or "").partition(", ")
            self.units[name] = SHORT.get(unit, unit)
            if isinstance(field, (DecimalField, FloatField)):
                field.error_messages |= {"invalid": NOT_A_NUMBER} | LIMITS
            elif isinstance(field, IntegerField):
                field.error_messages |= {"invalid": "Enter a whole number, such as 120."} | LIMITS
            if type(field) is DecimalField and isinstance(field.widget, NumberInput):
                self.fields[name] = FigureField.like(field, self.units[name])
