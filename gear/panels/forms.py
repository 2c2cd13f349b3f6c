from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import slugify

from gear.audio.dial import Dial
from gear.audio.marks import marks_from_text
from gear.panels.models import Control

KEY_LENGTH = Control._meta.get_field("key").max_length


class ControlForm(forms.ModelForm):
    key = forms.SlugField(required=False, max_length=KEY_LENGTH)
    marks_text = forms.CharField(
        label="Engraved marks",
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "spellcheck": "false"}),
    )

    class Meta:
        model = Control
        fields = [
            "label",
            "group",
            "kind",
            "unit",
            "scale",
            "marks_text",
            "meaning",
            "band",
            "tolerance_degrees",
            "serves_all",
            "key",
        ]
        labels = {"tolerance_degrees": "Tolerance", "scale": "Scale"}
        help_texts = {"unit": None}

    units = {"tolerance_degrees": "°"}

    def clean(self):
        facts = super().clean()
        if not facts.get("key") and facts.get("label"):
            facts["key"] = self._key(facts)
        if {"kind", "scale", "unit", "marks_text"} <= facts.keys():
            self._read_marks(facts)
        return facts

    def _key(self, facts) -> str:
        key = slugify(f"{facts.get('group', '')} {facts['label']}")[:KEY_LENGTH]
        if not key:
            self.add_error("key", "Write a key in plain letters; none can be made from the label.")
        return key

    def _read_marks(self, facts) -> None:
        try:
            marks = marks_from_text(facts["marks_text"], facts["kind"], facts["unit"])
            Dial(marks, facts["kind"], facts["scale"])
        except ValueError as error:
            self.add_error("marks_text", str(error))
            return
        self.instance.marks = [
            {"value": mark.value, "angle": mark.angle, "label": mark.label} for mark in marks
        ]

    def drawable(self) -> Control | None:
        """The control as it was typed if that makes sense, else None."""
        if not self.is_bound:
            return self.initial.get("control")
        is_read = "marks_text" not in self.errors and {"kind", "marks_text"} <= set(
            self.cleaned_data
        )
        return self.instance if is_read else None


class BaseControlFormSet(forms.BaseFormSet):
    """A row for each control, in the order of the panel. Rows in which nothing stands are passed over."""

    def clean(self):
        if any(self.errors):
            return
        if not self._kept():
            raise ValidationError("A panel has at least one control: add one.")
        keys = set()
        for form in self._kept():
            key = form.cleaned_data["key"]
            if key in keys:
                form.add_error(
                    "key",
                    f"Another control has the key “{key}” too. Change this one’s label, or write "
                    "another key.",
                )
            keys.add(key)

    def controls(self) -> list[Control]:
        return [form.instance for form in self._kept()]

    def _kept(self) -> list[ControlForm]:
        return [form for form in self.forms if form.has_changed()]


ControlFormSet = forms.formset_factory(
    ControlForm, formset=BaseControlFormSet, extra=0, max_num=200
)


def described(controls) -> list[dict]:
    """The controls as a formset takes them for its start."""
    return [
        {**control.facts(), "marks_text": control.marks_text(), "control": control}
        for control in controls
    ]
