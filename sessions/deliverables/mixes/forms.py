"""A mix as it is typed: what is said of the whole, a table of strips, and the units in them."""

import re
from collections.abc import Iterable

from django import forms

from gear.editing.names import named_once
from gear.equipment.models import Unit
from gear.patchbay.models import PatchPoint, Side
from sessions.clients.models import Project
from sessions.deliverables.mixes.lines import (
    COLUMNS,
    STRIP_FACTS,
    Line,
    NamedUnit,
    in_order,
    inserts_text,
    read_sends,
    sends_text,
)
from sessions.deliverables.mixes.models import (
    FADER,
    PAN,
    MixRevision,
    MixSetup,
    MixStrip,
    StripKind,
    pan_text,
)
from sessions.setups.chains.availability import UnitChoice, UnitChoices, pick_channel
from sessions.setups.chains.fields import PointNames, SettingField
from sessions.setups.chains.forms import StageForm
from sessions.songs.models import Song

BLANK_LINES, MOST_LINES = 6, 96
_SIDE = re.compile(r"([LR])\s*(\d{1,3}(?:[.,]\d+)?)(?:\s*%)?", re.IGNORECASE)


class PanField(SettingField):
    """As on a workstation (L30, C, R) or as the knob stands (1 o'clock)."""

    def __init__(self):
        super().__init__(PAN)

    def prepare_value(self, value):
        return pan_text(value) if isinstance(value, int | float) else value

    def to_python(self, value):
        if side := _SIDE.fullmatch((value or "").strip()):
            value = f"{'-' if side[1].upper() == 'L' else ''}{side[2]}"
        return super().to_python(value)


class MixCreateForm(forms.ModelForm):
    """A new setup: for which songs, and which revision it starts as."""

    class Meta:
        model = MixSetup
        fields = ["name", "songs"]
        widgets = {"songs": forms.CheckboxSelectMultiple}

    like = forms.ModelChoiceField(
        MixRevision.objects.none(),
        label="Start as",
        required=False,
        empty_label="Empty",
        help_text="A copy’s controls count as not yet set until somebody confirms them.",
    )

    def __init__(self, *args, project: Project, revisions=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.project = project
        self.fields["songs"].queryset = Song.objects.filter(project=project)
        if revisions is None:
            del self.fields["like"]
        else:
            self.fields["like"].queryset = revisions

    def clean_name(self):
        return named_once(self, "name", among=self.project.mix_setups, of=self.project)


class MixFactsForm(forms.ModelForm):
    class Meta:
        model = MixRevision
        fields = list(MixRevision.FACTS)
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}


class StripForm(forms.Form):
    """One line. A new one without a name is passed over, whatever else was filled in."""

    was = forms.IntegerField(required=False, min_value=1, max_value=9999, widget=forms.HiddenInput)
    kind = forms.ChoiceField(choices=StripKind)
    name = forms.CharField(required=False, max_length=40)
    plays = forms.CharField(required=False, max_length=120)
    played_from = forms.CharField(required=False, max_length=60)
    is_muted = forms.BooleanField(required=False)
    inserts = forms.CharField(required=False, max_length=200)
    sends = forms.CharField(required=False, max_length=200)
    feeds = forms.CharField(required=False, max_length=40)
    note = forms.CharField(required=False, max_length=200)
    remove = forms.BooleanField(required=False)

    LISTS = {"plays": "tracks", "played_from": "points", "inserts": "units", "feeds": "buses"}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["fader_db"], self.fields["pan"] = SettingField(FADER), PanField()
        for name, field in self.fields.items():
            field.label = COLUMNS.get(name, "Remove")
            field.widget.attrs |= {
                "autocomplete": "off",
                "spellcheck": "false",
                "data-column": name,
            }
            if name in self.LISTS:
                field.widget.attrs["list"] = self.LISTS[name]

    @property
    def cells(self) -> list[forms.BoundField]:
        return [self[name] for name in (*COLUMNS, "remove")]

    @property
    def is_left_out(self) -> bool:
        facts = self.cleaned_data
        return facts["remove"] or not (facts["was"] or facts.get("name"))

    def clean(self):
        facts = super().clean()
        if facts.get("was") and not facts.get("name") and not facts.get("remove"):
            self.add_error("name", "Enter the name, or tick Remove.")
        return facts


class MixForm:
    """The whole mix as one form: `facts` of the revision, and a line for each strip."""

    def __init__(self, revision: MixRevision, data=None):
        self.revision, self.data, self.is_bound = revision, data, data is not None
        self.names = PointNames(PatchPoint.objects.for_list())
        self.choices = _units()
        self.facts = MixFactsForm(data, instance=revision)
        strips = list(revision.strips.all())
        count = len(strips) + BLANK_LINES
        if data:
            typed = data.get("lines", "")
            count = min(int(typed) if typed.isdecimal() and len(typed) < 4 else count, MOST_LINES)
        starts = [_typed(strip) for strip in strips]
        starts += [{}] * (count - len(starts))
        self.strips = [
            StripForm(data, prefix=f"s{number}", initial=start)
            for number, start in enumerate(starts[:count])
        ]
        self.lines: list[Line] = []

    def is_valid(self) -> bool:
        forms_hold = [form.is_valid() for form in (self.facts, *self.strips)]
        if not all(forms_hold):
            return False
        wanted = [form for form in self.strips if not form.is_left_out]
        named = {
            kind: [
                form.cleaned_data["name"] for form in wanted if form.cleaned_data["kind"] == kind
            ]
            for kind in StripKind
        }
        self._check_names(wanted)
        lines = [self._line(form, named) for form in wanted]
        self.lines = in_order(filter(None, lines))
        return not any(form.errors for form in self.strips)

    def errors(self) -> list[str]:
        return [message for form in self.strips for message in form.non_field_errors()]

    def typed(self) -> dict[str, str]:
        """What stands in the form, by what it is: to be compared with another's."""
        shown = {f"{field.label}": f"{field.value() or ''}" for field in self.facts}
        for number, form in enumerate(self.strips, 1):
            for cell in form.cells:
                shown[f"Line {number}, {cell.label.lower()}"] = _cell_text(cell)
        return shown

    def differences(self, saved: "MixForm") -> list[tuple[str, str, str]]:
        ours, theirs = self.typed(), saved.typed()
        labels = dict.fromkeys([*ours, *theirs])
        return [
            (label, theirs.get(label, ""), ours.get(label, ""))
            for label in labels
            if ours.get(label, "") != theirs.get(label, "") and not self._is_blank(label, saved)
        ]

    def _is_blank(self, label: str, saved: "MixForm") -> bool:
        """A line that neither of both has."""
        line = label.partition(",")[0]
        return label.startswith("Line ") and not (
            self.typed().get(f"{line}, name") or saved.typed().get(f"{line}, name")
        )

    def _check_names(self, wanted: list[StripForm]) -> None:
        seen = set()
        for form in wanted:
            name = form.cleaned_data["name"].casefold()
            if name in seen:
                form.add_error("name", "Another line is called so: sends and buses go by names.")
            seen.add(name)

    def _line(self, form: StripForm, named: dict[str, list[str]]) -> Line | None:
        facts = form.cleaned_data
        try:
            inserts = self._inserts(facts["inserts"])
        except ValueError as problem:
            form.add_error("inserts", str(problem))
        try:
            sends = read_sends(facts["sends"], named[StripKind.RETURN])
        except ValueError as problem:
            form.add_error("sends", str(problem))
        buses = {name.casefold(): name for name in named[StripKind.BUS]}
        typed = facts["feeds"].casefold()
        stereo = {name.casefold() for name in named[StripKind.STEREO_BUS]}
        feeds = buses.get(typed, "")
        if typed and not feeds and typed not in stereo:
            form.add_error("feeds", f"No bus of this mix is called “{facts['feeds']}”.")
        elif feeds and feeds == facts.get("name"):
            form.add_error("feeds", "A bus does not feed itself.")
        if form.errors:
            return None
        strip = {name: facts[name] for name in STRIP_FACTS} | {"feeds": feeds}
        return Line(facts["was"], strip, inserts, sends)

    def _inserts(self, typed: str) -> tuple[NamedUnit, ...]:
        found = tuple(
            self._named(each) for each in typed.replace(";", ",").split(",") if each.strip()
        )
        if len({named.key for named in found}) < len(found):
            raise ValueError("The same unit stands twice in this line.")
        return found

    def _named(self, typed: str) -> NamedUnit:
        unit, channel = pick_channel(self.choices, typed)
        wired = (self.names.only_wired(unit, side, channel) for side in (Side.RETURN, Side.SEND))
        return NamedUnit(unit, channel, *wired)


def _typed(strip: MixStrip) -> dict:
    return {name: getattr(strip, name) for name in STRIP_FACTS} | {
        "was": strip.position,
        "inserts": inserts_text(strip),
        "sends": sends_text(strip),
    }


def _cell_text(cell: forms.BoundField) -> str:
    value = cell.value()
    if isinstance(value, bool):
        return "yes" if value else ""
    return "" if value is None else str(value)


def _units() -> UnitChoices:
    """All of the house: a mix is no booking. What stands there already may be out of service by now,
    which its warnings say."""
    offered = [
        UnitChoice(unit, "" if unit.is_in_service else unit.standing)
        for unit in Unit.objects.for_list()
    ]
    return UnitChoices(offered, [], [])


class InsertForm(StageForm):
    """A unit of a mix: as a stage of a chain, but it has no path and its setup counts the edits."""

    cord_cm = None

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        del self.fields["path"], self.fields["seen"]


class MadeThroughForm(forms.Form):
    mix_revision = forms.ModelChoiceField(
        MixRevision.objects.none(),
        label="Printed through",
        required=False,
        empty_label="Not logged",
        help_text="What was in force when it was printed. The revision is locked by that.",
    )

    def __init__(self, *args, revisions: Iterable[MixRevision], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["mix_revision"].queryset = revisions
