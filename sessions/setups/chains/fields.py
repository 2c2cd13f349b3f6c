import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import asdict

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from gear.asked import whole_number
from gear.audio.dial import DETENTED
from gear.audio.values import parse_value, setting_text
from gear.equipment.models import Unit
from gear.panels.drawing import pointer_of
from gear.panels.models import Control
from gear.patchbay.models import PatchPoint, Side
from sessions.setups.chains.actions import Seen
from sessions.setups.models import Setup
from sessions.songs.models import Part


class SeenField(forms.CharField):
    """Hidden: which revision, at which count of its edits, the editor has before them."""

    widget = forms.HiddenInput

    def prepare_value(self, value):
        return str(value) if isinstance(value, Seen) else value

    def to_python(self, value):
        revision, _, version = (super().to_python(value) or "").partition(".")
        seen = Seen(whole_number(revision), whole_number(version))
        if None in seen:
            raise ValidationError("This page is out of date: reload it before you save.")
        return seen


class SettingField(forms.CharField):
    """A control's setting as it is typed: 2k2, 1 o'clock, 4:1, in. Empty: not logged."""

    def __init__(self, control: Control):
        self.control, self.dial = control, control.dial()
        super().__init__(
            required=False,
            label=control.label,
            help_text=self._choices_or_range(),
        )

    def widget_attrs(self, widget) -> dict[str, str]:
        return {"autocomplete": "off", "spellcheck": "false"}

    def prepare_value(self, value):
        is_number = isinstance(value, int | float)
        return self._text(value) if is_number else value

    def to_python(self, value):
        typed = super().to_python(value)
        if not typed:
            return None
        try:
            return parse_value(typed, self.dial, self.control.unit)
        except ValueError as problem:
            raise ValidationError(str(problem)) from problem

    @property
    def stops(self) -> str:
        """JSON for a drawing that is dragged: where each mark stands, what is typed for it, and what it
        means in the control's unit."""
        marks = self.dial.marks
        return json.dumps([[mark.angle, self._text(mark.value), mark.value] for mark in marks])

    @property
    def pointer(self) -> str:
        """JSON for the same: how its pointer is drawn and moved."""
        return json.dumps(asdict(pointer_of(self.control)))

    def _text(self, value: float) -> str:
        return setting_text(value, self.dial, self.control.unit)

    def _choices_or_range(self) -> str:
        values = [mark.value for mark in self.dial.marks]
        if self.dial.kind in DETENTED:
            return ", ".join(map(self._text, values))
        if not values:
            return f"a reading in {self.control.unit}"
        return f"{self._text(values[0])} to {self._text(values[-1])}"


class PointNames:
    """Patch points by all that they may be called: Bay A12 Pre 1 out; Bay A12; A12; Pre 1 out."""

    def __init__(self, points: Iterable[PatchPoint]):
        self.by_key = {point.pk: point for point in points}
        self._called = defaultdict(list)
        for point in self.by_key.values():
            for name in {str(point), point.name, point.place, point.label}:
                self._called[name.casefold()].append(point)

    def only_wired(self, unit: Unit, side: Side, channel: int | None = None) -> PatchPoint | None:
        """The point of that side that the unit, or the channel, is wired to, if there is just one."""
        wired = [
            point
            for point in self.by_key.values()
            if point.unit_id == unit.pk
            and point.side == side
            and (channel is None or point.channel in (None, channel))
        ]
        return wired[0] if len(wired) == 1 else None

    def short(self, point: PatchPoint) -> str:
        """The shortest that `find` understands: its label, or all of it."""
        return point.label if len(self._called[point.label.casefold()]) == 1 else str(point)

    def find(self, typed: str) -> PatchPoint:
        """Raises ValidationError where no point, or more than one, is called that."""
        found = self._called.get(" ".join(typed.split()).casefold(), [])
        if len(found) == 1:
            return found[0]
        if found:
            raise ValidationError(
                f"“{typed}” may be {' or '.join(map(str, found))}: write which of them."
            )
        raise ValidationError(
            f"No patch point is called “{typed}”. Write its place (A12) or its label, or choose "
            "from the list."
        )


class PointField(forms.CharField):
    """A patch point as it is typed, offered by the page's list. Empty: not patched."""

    def __init__(self, names: PointNames, **kwargs):
        self.names = names
        attrs = {"list": "points", "autocomplete": "off", "spellcheck": "false"}
        super().__init__(required=False, widget=forms.TextInput(attrs=attrs), **kwargs)

    def prepare_value(self, value):
        point = self.names.by_key.get(value) if isinstance(value, int) else None
        return str(point) if point else value

    def to_python(self, value):
        typed = super().to_python(value)
        return self.names.find(typed) if typed else None

    def has_changed(self, initial, data) -> bool:
        try:
            point = self.to_python(data)
        except ValidationError:
            return True
        return (point and point.pk) != initial


class PartsField(forms.ModelMultipleChoiceField):
    def label_from_instance(self, part: Part) -> str:
        return f"{part.song}: {part}"


class SetupField(forms.ModelChoiceField):
    def label_from_instance(self, setup: Setup) -> str:
        day = date_format(timezone.localtime(setup.session.starts_at))
        return f"{day}, {setup.session}: {setup}"
