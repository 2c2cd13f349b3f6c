"""A field for a figure with a unit, as it is read off a ruler or a data sheet: 12,5; 0.2 m; + 3."""

from decimal import Decimal
from typing import Self

from django import forms
from django.core.exceptions import ValidationError

from gear.audio.numbers import read_number

#: What only a browser's own field for numbers takes.
_OF_NUMBER_INPUTS = {"step", "min", "max"}


class FigureField(forms.DecimalField):
    """Text, since a browser's field for numbers empties what it can't read, a comma for instance."""

    def __init__(self, *, unit: str = "", **kwargs):
        self.unit = unit
        attrs = {"inputmode": "decimal", "autocomplete": "off", "class": "figure"}
        super().__init__(**{"widget": forms.TextInput(attrs=attrs)} | kwargs)

    @classmethod
    def like(cls, field: forms.DecimalField, unit: str) -> Self:
        """The same question, asked by this field."""
        made = cls(
            unit=unit,
            required=field.required,
            label=field.label,
            help_text=field.help_text,
            initial=field.initial,
            disabled=field.disabled,
            max_digits=field.max_digits,
            decimal_places=field.decimal_places,
        )
        made.min_value, made.max_value = field.min_value, field.max_value
        made.validators, made.error_messages = field.validators, field.error_messages
        kept = {name: value for name, value in field.widget.attrs.items() if name != "class"}
        made.widget.attrs |= {
            name: value for name, value in kept.items() if name not in _OF_NUMBER_INPUTS
        }
        return made

    def widget_attrs(self, widget) -> dict:
        return {}

    def to_python(self, value) -> Decimal | None:
        value = value.strip() if isinstance(value, str) else value
        if not isinstance(value, str) or not value:
            return super().to_python(value)
        try:
            number = read_number(value, self.unit)
            if number is None and self.unit.startswith("dB "):  # 94 dB, for dB SPL
                number = read_number(value, "dB")
        except ValueError as problem:
            raise ValidationError(str(problem), code="invalid") from problem
        return super().to_python(value if number is None else f"{Decimal(repr(number)):f}")
