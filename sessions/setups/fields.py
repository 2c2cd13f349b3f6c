from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from gear.audio.dial import DETENTED
from gear.audio.values import parse_value, setting_text
from gear.panels.models import Control
from sessions.setups.actions import Seen
from sessions.setups.models import Setup
from sessions.songs.models import Part


class SeenField(forms.CharField):
    """Hidden: which revision, at which count of its edits, the editor has before them."""

    widget = forms.HiddenInput

    def prepare_value(self, value):
        return str(value) if isinstance(value, Seen) else value

    def to_python(self, value):
        revision, _, version = (super().to_python(value) or "").partition(".")
        if not (revision.isdecimal() and version.isdecimal()):
            raise ValidationError("This page is out of date: open it again before you save.")
        return Seen(int(revision), int(version))


class SettingField(forms.CharField):
    """A control's setting as it is typed: 2k2, 1 o'clock, 4:1, in. Empty: not logged."""

    def __init__(self, control: Control):
        self.control, self.dial = control, control.dial()
        super().__init__(
            required=False,
            label=control.label,
            help_text=self._choices_or_range(),
            widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        )

    def prepare_value(self, value):
        is_number = isinstance(value, int | float)
        return setting_text(value, self.dial, self.control.unit) if is_number else value

    def to_python(self, value):
        typed = super().to_python(value)
        if not typed:
            return None
        try:
            return parse_value(typed, self.dial, self.control.unit)
        except ValueError as problem:
            raise ValidationError(str(problem)) from problem

    def _choices_or_range(self) -> str:
        texts = [setting_text(mark.value, self.dial, self.control.unit) for mark in self.dial.marks]
        if self.dial.kind in DETENTED:
            return ", ".join(texts)
        return f"{texts[0]} to {texts[-1]}" if texts else f"a reading in {self.control.unit}"


class PartField(forms.ModelChoiceField):
    def label_from_instance(self, part: Part) -> str:
        return f"{part.song}: {part}"


class SetupField(forms.ModelChoiceField):
    def label_from_instance(self, setup: Setup) -> str:
        day = date_format(timezone.localtime(setup.session.starts_at), "j M Y")
        return f"{day}, {setup.session}: {setup}"
