from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import slugify

from gear.audio.dial import Dial
from gear.audio.marks import marks_from_text
from gear.panels.models import Control

KEY_LENGTH = Control._meta.get_field("key").max_length


class ControlForm(forms.ModelForm):
    position = forms.IntegerField(required=False, min_value=1, label="Place")
    key = forms.SlugField(
        required=False,
        max_length=KEY_LENGTH,
    )
    marks_text = forms.CharField(
        label="Engraved marks",
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "spellcheck": "false"}),
    )

    class Meta:
        model = Control
        fields = [
            "position",
            "label",
            "group",
            "kind",
            "unit",
            "scale",
            "marks_text",
            "meaning",
            "band",
            "tolerance_degrees",
            "key",
        ]
        labels = {"tolerance_degrees": "Tolerance", "scale": "Between marks"}
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
        if self.is_bound:
            return self.instance if self.is_valid() and self.instance.kind else None
        return self.initial.get("control")


class BaseControlFormSet(forms.BaseFormSet):
    def add_fields(self, form, index):
        super().add_fields(form, index)
        if "DELETE" in form.fields:
            form.fields["DELETE"].label = "Remove this control"

    def clean(self):
        if any(self.errors):
            return
        kept = self._kept()
        if not kept:
            raise ValidationError("A panel has at least one control: describe one.")
        keys = set()
        for form in kept:
            key = form.cleaned_data["key"]
            if key in keys:
                form.add_error("key", f"Another control has the key “{key}” too: change one.")
            keys.add(key)

    def controls(self) -> list[Control]:
        """The controls in the order of their places; at the same place a new one goes first."""
        ordered = sorted(self._kept(), key=self._place)
        return [form.instance for form in ordered]

    def _kept(self) -> list[ControlForm]:
        removed = self.deleted_forms
        stood = self.initial_form_count()
        return [
            form
            for number, form in enumerate(self.forms)
            if (number < stood or form.has_changed()) and form not in removed
        ]

    def _place(self, form) -> tuple:
        place = form.cleaned_data.get("position")
        is_old = "control" in form.initial
        return (place is None, place or 0, is_old)


ControlFormSet = forms.formset_factory(
    ControlForm, formset=BaseControlFormSet, extra=3, can_delete=True, max_num=200
)


def described(controls) -> list[dict]:
    """The controls as a formset takes them for its start."""
    return [
        {
            **control.facts(),
            "position": control.position,
            "marks_text": control.marks_text(),
            "control": control,
        }
        for control in controls
    ]
