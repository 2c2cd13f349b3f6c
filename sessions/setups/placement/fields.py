"""A microphone's pattern as it is typed."""

from django import forms
from django.core.exceptions import ValidationError

from gear.audio.patterns import PATTERNS, pattern_choices, pattern_named


class ListedInput(forms.TextInput):
    """Text with a list to choose from; what is typed besides is kept as it was typed."""

    template_name = "sessions/setups/placement/_listed_input.html"

    def __init__(self, listed, attrs=None):
        super().__init__({"autocomplete": "off"} | (attrs or {}))
        self.listed = list(listed)

    def get_context(self, name, value, attrs):
        context = super().get_context(name, value, attrs)
        list_id = f"{context['widget']['attrs'].get('id', name)}_list"
        context["widget"]["attrs"]["list"] = list_id
        return context | {"list_id": list_id, "listed": self.listed}


class PatternField(forms.CharField):
    """One of the patterns in any usual spelling, with a remark behind a comma: “fig 8, lobe left”.

    A plain spelling is kept as the list writes it. What names none is refused with the list, unless
    it stood there before: such a word came from a time or a house without a list, and stays.
    """

    def __init__(self, *, before: str = "", **kwargs):
        self.before = before
        super().__init__(
            widget=ListedInput(pattern.name for pattern in PATTERNS), strip=True, **kwargs
        )

    def to_python(self, value) -> str:
        typed = " ".join(super().to_python(value).split())
        pattern = pattern_named(typed)
        if typed and pattern is None and typed != self.before:
            raise ValidationError(f"“{typed}” is not a known pattern: write {pattern_choices()}.")
        has_remark = any(sign in typed for sign in ",;(")
        return typed if pattern is None or has_remark else pattern.name
