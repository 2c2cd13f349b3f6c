import math
from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from gear.audio.level_text import level_text
from gear.editing.figures import FigureField
from gear.equipment.models import Unit
from sessions.clients.models import Project, SampleRate
from sessions.recall.proving.feeding import Limit, usual_pad_db
from sessions.recall.proving.forms import (
    FULL_SCALE_DBU,
    SOFTEST_DBFS,
    PlayedForm,
    level_problem,
)
from sessions.recall.proving.models import Depth, Measurement
from sessions.setups.levels.forms import LevelField


class UnitForm(PlayedForm):
    """A unit by itself: which channel, how it is set, and how the file is fed into it."""

    depth = forms.ChoiceField(choices=Depth, initial=Depth.FULL, label="Measure by")
    channel = forms.TypedChoiceField(coerce=int, empty_value=None)
    note = forms.CharField(
        label="Set as",
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Every control that matters, such as gain, bypass, filters out: what is measured in another "
        "year is set the same.",
        error_messages={"required": "Say how it is set: without that nothing can be compared."},
    )
    rate_hz = forms.TypedChoiceField(label="Sample rate", coerce=int, choices=SampleRate)
    full_scale_dbu = FigureField(
        unit="dBu",
        label="Level of 0 dBFS, dBu",
        min_value=FULL_SCALE_DBU[0],
        max_value=FULL_SCALE_DBU[1],
        max_digits=4,
        decimal_places=1,
    )

    def __init__(self, *args, unit: Unit, last: Measurement | None, **kwargs):
        """last: the newest measurement of the unit, which this one starts from."""
        super().__init__(*args, **kwargs)
        self.initial |= _as_before(last) if last else _usual(unit)
        self.limit = _limit(unit)
        self._offer_channels(unit)
        self.fields["fed_dbu"] = LevelField(
            full_scale_dbu=self._full_scale_dbu(),
            label="Loudest level at its input",
            help_text=self._level_help(unit),
        )
        self.fields["fed_dbu"].required = True
        self.order_fields(
            ["depth", "channel", "note", "rate_hz", "full_scale_dbu", "fed_dbu", "pad_db", "cable"]
        )

    def _full_scale_dbu(self) -> float:
        """As it is typed, for a level in dBFS; else as it is proposed."""
        field = self.fields["full_scale_dbu"]
        try:
            return float(field.clean(self.data.get("full_scale_dbu", "")))
        except ValidationError:
            return float(self.initial["full_scale_dbu"])

    def _offer_channels(self, unit: Unit) -> None:
        if unit.model.channels == 1:
            del self.fields["channel"]
        else:
            numbers = range(1, unit.model.channels + 1)
            self.fields["channel"].choices = [(number, str(number)) for number in numbers]

    def _level_help(self, unit: Unit) -> str:
        if self.limit is None:
            return "Low enough that it clips nowhere in the unit. Its maximum input isn’t logged."
        return (
            f"Low enough that it clips nowhere in the unit: its input takes {level_text(self.limit.dbu)}, and its "
            "gain comes on top."
        )

    def clean(self):
        facts = super().clean()
        cable, rate = facts.get("cable"), facts.get("rate_hz")
        if cable and rate and cable.plan["rate_hz"] != rate:
            self.add_error(
                "cable", f"It was measured at {cable.rate_in_words}: choose that rate, or none."
            )
        levels = {name: facts.get(name) for name in ("fed_dbu", "pad_db", "full_scale_dbu")}
        if None not in levels.values():
            is_full = facts.get("depth") == Depth.FULL
            softest = SOFTEST_DBFS if is_full else -math.inf
            problem = level_problem(**levels, limit=self.limit, softest_dbfs=softest)
            if problem:
                self.add_error(*problem)
        return facts

    def facts(self) -> dict:
        """What `begin_unit` takes."""
        names = ("depth", "note", "rate_hz", "full_scale_dbu", "fed_dbu", "pad_db", "cable")
        return {name: self.cleaned_data[name] for name in names} | {
            "channel": self.cleaned_data.get("channel")
        }

    def rows(self) -> list[list[forms.BoundField]]:
        names = [
            ["depth", "channel"],
            ["note"],
            ["rate_hz", "full_scale_dbu"],
            ["fed_dbu", "pad_db"],
            ["cable"],
        ]
        return [[self[name] for name in row if name in self.fields] for row in names]


def _limit(unit: Unit) -> Limit | None:
    most = unit.model.max_input_dbu
    return None if most is None else Limit(float(most), "the input")


def _as_before(last: Measurement) -> dict:
    return {
        "depth": last.depth,
        "channel": last.channel,
        "note": last.note,
        "rate_hz": last.plan["rate_hz"],
        "full_scale_dbu": Decimal(str(round(last.full_scale_dbu, 1))),
        "fed_dbu": last.fed_dbu,
        "pad_db": last.pad_db,
    }


def _usual(unit: Unit) -> dict:
    """By its nominal level, where that is known."""
    full_scale = Project._meta.get_field("full_scale_dbu").default
    usual = {"rate_hz": SampleRate.R48000, "full_scale_dbu": full_scale}
    nominal = unit.model.nominal_level_dbu
    if nominal is not None:
        pad = usual_pad_db(float(nominal), float(full_scale))
        usual |= {"fed_dbu": nominal, "pad_db": pad}
    return usual


class PairForm(forms.Form):
    """Which two measurements are held against each other."""

    def __init__(self, *args, unit: Unit, measured, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["first"] = MeasuredField(measured.filter(unit=unit), label="First")
        self.fields["second"] = MeasuredField(measured, label="Held against it")

    def clean(self):
        facts = super().clean()
        if facts.get("first") and facts.get("first") == facts.get("second"):
            self.add_error("second", "That is the first: choose another one.")
        return facts


class MeasuredField(forms.ModelChoiceField):
    def __init__(self, queryset, **kwargs):
        missing = {"required": "Choose a measurement.", "invalid_choice": "Choose one of the list."}
        super().__init__(
            queryset, empty_label="Choose a measurement", error_messages=missing, **kwargs
        )

    def label_from_instance(self, measurement: Measurement) -> str:
        day = date_format(timezone.localtime(measurement.measured_at))
        channel = f", channel {measurement.channel}" if measurement.channel else ""
        return f"{measurement.unit.asset_tag}{channel}, {day}: {measurement.note}"[:100]
