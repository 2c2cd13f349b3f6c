from collections.abc import Callable

from django import forms

from gear.audio.delay import BUFFER_SIZES, TRACKING_BUFFERS, headphone_delay_ms
from gear.editing.names import named_once
from gear.editing.units import UnitsForm
from gear.equipment.models import Unit
from gear.panels.models import Control
from gear.patchbay.models import PatchPoint, Side
from sessions.setups.chains.fields import PartsField, SeenField, SettingField
from sessions.setups.models import Chain, ChainGroup, Path, Setup, Source, Stage
from sessions.setups.models.patched_unit import PatchedUnit
from sessions.setups.models.stages import LONGEST_CORD_CM
from sessions.songs.models import Part

#: What the name of a field begins with that sets a control.
CONTROL = "control-"


class SeenForm(forms.Form):
    """For a button that changes a chain and asks nothing else."""

    seen = SeenField()


class SetupForm(UnitsForm):
    class Meta:
        model = Setup
        fields = [
            "name",
            "buffer_samples",
            "converter_samples",
            "clock_master",
            "rate_seen_hz",
            "click",
            "count_in_bars",
            "note",
        ]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        rate = self.instance.session.project.sample_rate
        delays = ", ".join(
            f"{samples} is {headphone_delay_ms(samples, rate):.1f} ms" for samples in BUFFER_SIZES
        )
        low, high = TRACKING_BUFFERS
        self.fields["buffer_samples"].help_text = (
            f"In the performers’ headphones, at {rate / 1000:g} kHz: {delays}. "
            f"Sessions commonly track at {low} to {high} (common practice)."
        )

    def clean_name(self):
        session = self.instance.session
        return named_once(self, "name", among=session.setups, of=session)


class ChainForm(forms.ModelForm):
    """What a chain records."""

    source = forms.CharField(
        max_length=Source._meta.get_field("name").max_length,
        help_text="What is heard: one that feeds another chain of the setup, too, or a new one.",
    )
    parts = PartsField(
        Part.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Takes of these parts are logged through the chain; with none, takes of all parts are.",
    )

    field_order = ["source"]

    class Meta:
        model = Chain
        fields = [
            "taken_by",
            "parts",
            "track",
            "destination_input",
            "summed_at",
            "group",
            "seat",
        ]

    def __init__(self, *args, project, setup: Setup | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["source"] = self.instance.source.name
        groups = ChainGroup.objects.filter(setup=setup or self.instance.setup_id)
        self.fields["group"].queryset = groups
        self.fields["group"].empty_label = "Alone"
        if not groups:
            del self.fields["group"], self.fields["seat"]
        parts = Part.objects.filter(song__project=project).select_related("song")
        self.fields["parts"].queryset = parts.order_by("song__title", "position", "name")


class ChainEditForm(ChainForm):
    seen = SeenField()


class RecordedChainForm(forms.Form):
    """Of a chain that was recorded: which of the parts it carries that no take of it has yet. `was`
    is what was ticked when the page was built, so that two may add parts at once."""

    parts = PartsField(
        Part.objects.none(),
        label="Parts yet to be recorded",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    was = PartsField(Part.objects.none(), required=False, widget=forms.MultipleHiddenInput)

    def __init__(self, *args, chain: Chain, **kwargs):
        ticked = chain.parts.exclude(pk__in=chain.recorded_parts())
        super().__init__(*args, initial={"parts": ticked, "was": ticked}, **kwargs)
        of_project = Part.objects.filter(song__project=chain.setup.session.project)
        offered = of_project.exclude(pk__in=chain.recorded_parts()).select_related("song")
        for name in ("parts", "was"):
            self.fields[name].queryset = offered.order_by("song__title", "position", "name")
        kept = chain.parts.filter(pk__in=chain.recorded_parts()).select_related("song")
        self.fields["parts"].help_text = "Recorded, so it stays: " + ", ".join(
            f"{part.song}, {part}" for part in kept
        )

    def changes(self) -> dict[str, set[Part]]:
        ticked, was = (set(self.cleaned_data[name]) for name in ("parts", "was"))
        return {"add": ticked - was, "remove": was - ticked}


class StageForm(forms.Form):
    """A unit in a chain: path, patch points and a field for every control, in signal order.

    `why_ask` answers why a control should not be put at a value (`asking`): that is then saved only
    when it is said twice.
    """

    path = forms.ChoiceField(choices=Path, widget=forms.RadioSelect, label="Path")
    patch_in = forms.ModelChoiceField(
        PatchPoint.objects.none(), required=False, label="Patched in at"
    )
    patch_out = forms.ModelChoiceField(
        PatchPoint.objects.none(), required=False, label="Patched out at"
    )
    cord_cm = Stage._meta.get_field("cord_cm").formfield(min_value=1, max_value=LONGEST_CORD_CM)
    note = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 2}))
    seen = SeenField()
    is_sure = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        *args,
        unit: Unit,
        controls: list[Control],
        points=None,
        why_ask: Callable[[Control, float | None], str] = lambda control, value: "",
        **kwargs,
    ):
        super().__init__(*args, **kwargs)
        self.why_ask, self.asks = why_ask, False
        points = list(PatchPoint.objects.for_list()) if points is None else points
        self._offer_points("patch_in", points, unit, Side.RETURN)
        self._offer_points("patch_out", points, unit, Side.SEND)
        if unit.model.channels > 1:
            self.fields["channel"] = forms.IntegerField(
                required=False, min_value=1, max_value=unit.model.channels
            )
        self.controls = {f"{CONTROL}{control.key}": control for control in controls}
        for name, control in self.controls.items():
            self.fields[name] = SettingField(control)
        self.order_fields(
            ["path", "channel", "patch_in", *self.controls, "patch_out", "cord_cm", "note"]
        )

    def _offer_points(self, name: str, points, unit: Unit, side: Side) -> None:
        """Points wired to the unit first, then all others."""
        wired = [point for point in points if point.unit_id == unit.pk and point.side == side]
        groups = {"Wired to this unit": wired}
        for point in points:
            if point not in wired:
                groups.setdefault(point.bay.name, []).append(point)
        field = self.fields[name]
        field.queryset = PatchPoint.objects.for_list()
        field.choices = [("", "not patched")] + [
            (group, [(point.pk, str(point)) for point in found])
            for group, found in groups.items()
            if found
        ]

    def clean(self):
        facts = super().clean()
        if facts.get("is_sure"):
            return facts
        for name, control in self.controls.items():
            if name in self.changed_data and (problem := self.why_ask(control, facts.get(name))):
                self.add_error(name, problem)
                self.asks = True
        return facts

    def control_groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The bound fields of the controls, by the panel's groups, in signal order."""
        groups = []
        for name, control in self.controls.items():
            if not groups or groups[-1][0] != control.group:
                groups.append((control.group, []))
            groups[-1][1].append(self[name])
        return groups

    def facts(self) -> dict:
        """What the stage is to be: its fields by name, the settings of its controls by key."""
        facts = {
            name: self.cleaned_data[name]
            for name in ("path", "channel", "patch_in", "patch_out", "cord_cm", "note")
            if name in self.fields
        }
        settings = {
            control.key: self.cleaned_data[name]
            for name, control in self.controls.items()
            if self.cleaned_data[name] is not None
        }
        return facts | {"settings": settings}


def values_of(unit: PatchedUnit) -> dict:
    """A stage, or a unit of a mix, as the starting values of its form."""
    settings = {f"{CONTROL}{key}": value for key, value in unit.settings.items()}
    of_chain = ("path", "cord_cm") if isinstance(unit, Stage) else ()
    return (
        settings
        | {name: getattr(unit, name) for name in of_chain}
        | {
            "channel": unit.channel,
            "patch_in": unit.patch_in_id,
            "patch_out": unit.patch_out_id,
            "note": unit.note,
        }
    )
