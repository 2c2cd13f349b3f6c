"""Where levels are written down: the source's, a test tone's, and what was read at each stage."""

from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError

from gear.audio.level_text import level_text, parse_level
from gear.audio.values import format_value, read_number
from gear.editing.figures import FigureField
from gear.editing.units import UnitsForm
from gear.panels.models import Meaning
from sessions.setups.chains.fields import SeenField
from sessions.setups.levels.tone import takes_tone
from sessions.setups.models import Revision, Stage

LEVELS_DBU = (-150, 50)
#: A tone is read in the band that is heard.
TONE_HZ = (20, 20_000)


class LevelField(forms.CharField):
    """A level as it is read off a meter, in whatever unit the meter has; in dBu to a hundredth."""

    widget = forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false", "size": 12})

    def __init__(self, *, full_scale_dbu: float, **kwargs):
        self.full_scale_dbu = full_scale_dbu
        super().__init__(required=False, **kwargs)

    def prepare_value(self, value):
        return format_value(float(value), "dBu") if isinstance(value, Decimal) else value

    def to_python(self, value) -> Decimal | None:
        typed = super().to_python(value)
        if not typed:
            return None
        try:
            dbu = parse_level(typed, full_scale_dbu=self.full_scale_dbu)
        except ValueError as problem:
            raise ValidationError(str(problem)) from problem
        low, high = LEVELS_DBU
        if not low <= dbu <= high:
            raise ValidationError(f"Enter a level from {level_text(low)} to {level_text(high)}.")
        return Decimal(f"{dbu:.2f}")


class FrequencyField(forms.CharField):
    """A frequency as it is typed: 1k, 997, 1 kHz."""

    def prepare_value(self, value):
        return format_value(float(value), "Hz") if isinstance(value, Decimal) else value

    def to_python(self, value) -> Decimal | None:
        typed = super().to_python(value)
        if not typed:
            return None
        try:
            hertz = read_number(typed, "Hz")
        except ValueError as problem:
            raise ValidationError(str(problem)) from problem
        low, high = TONE_HZ
        if hertz is None or not low <= hertz <= high:
            raise ValidationError(f"Write a frequency from {low} Hz to {high:,} Hz, such as 1 kHz.")
        return Decimal(f"{hertz:.1f}")


class LevelsForm(UnitsForm):
    """The source's level and the test tone, and four fields for every stage."""

    tone_hz = FrequencyField(
        required=False, label="Frequency of the test tone", help_text="Commonly 1 kHz."
    )
    seen = SeenField()

    class Meta:
        model = Revision
        fields = Revision.SOURCE_FACTS + Revision.TONE_FACTS

    def __init__(self, *args, full_scale_dbu: float, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["source_dbu"] = LevelField(
            full_scale_dbu=full_scale_dbu,
            label="Source level by cable",
            help_text="Of an instrument or a player that comes in without a microphone.",
        )
        self.fields["tone_dbu"] = LevelField(
            full_scale_dbu=full_scale_dbu,
            label="Test tone, level",
            help_text="Fed into the first input after the source, its microphone unplugged.",
        )
        self.stages = list(self.instance.stages.all())
        for stage in self.stages:
            for name, field in _stage_fields(stage, full_scale_dbu).items():
                self.fields[f"stage-{stage.position}-{name}"] = field
                self.initial[f"stage-{stage.position}-{name}"] = getattr(stage, name)

    def clean(self):
        facts = super().clean()
        if facts.get("source_spl_db") is not None and facts.get("source_dbu") is not None:
            self.add_error(
                "source_dbu", "A source is either heard by a microphone or comes in by cable."
            )
        for stage in self.stages:
            low = facts.get(f"stage-{stage.position}-planned_reduction_low_db")
            high = facts.get(f"stage-{stage.position}-planned_reduction_high_db")
            if None not in (low, high) and low > high:
                self.add_error(
                    f"stage-{stage.position}-planned_reduction_high_db",
                    "Enter a value no lower than the first.",
                )
        return facts

    def stage_fields(self) -> list[tuple[Stage, list[forms.BoundField]]]:
        """The stages that have fields, in signal order, each with them."""
        found = [
            (stage, [self[name] for name in self.fields if name.startswith(_prefix(stage))])
            for stage in self.stages
        ]
        return [(stage, fields) for stage, fields in found if fields]

    def source_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in Revision.SOURCE_FACTS]

    def tone_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in Revision.TONE_FACTS]

    def facts(self) -> dict:
        """What the revision is to say, and what each stage is to, by its position."""
        return {
            "facts": {name: self.cleaned_data[name] for name in self.Meta.fields},
            "stages": {stage.position: self._facts_of(stage) for stage in self.stages},
        }

    def _facts_of(self, stage: Stage) -> dict:
        prefix = _prefix(stage)
        return {
            name.removeprefix(prefix): value
            for name, value in self.cleaned_data.items()
            if name.startswith(prefix)
        }


def _prefix(stage: Stage) -> str:
    return f"stage-{stage.position}-"


def _stage_fields(stage: Stage, full_scale_dbu: float) -> dict[str, forms.Field]:
    out = f"at the output of unit {stage.position}"
    if not takes_tone(stage.unit.model.category):
        return {}  # no meter stands there
    fields = {
        "tone_reading_dbu": LevelField(full_scale_dbu=full_scale_dbu, label=f"Tone {out}"),
        "reading_out_dbu": LevelField(full_scale_dbu=full_scale_dbu, label=f"Loudest music {out}"),
    }
    if reduces(stage):
        planned = f"Planned gain reduction of unit {stage.position}"
        fields["planned_reduction_low_db"] = _band_end(f"{planned}, from")
        fields["planned_reduction_high_db"] = _band_end(f"{planned}, to")
    return fields


def _band_end(label: str) -> FigureField:
    return FigureField(
        unit="dB",
        required=False,
        label=label,
        min_value=0,
        max_value=60,
        max_digits=4,
        decimal_places=1,
    )


def reduces(stage: Stage) -> bool:
    """Whether the stage takes gain off by itself, as its panel tells."""
    meanings = {control.meaning for control in stage.controls()}
    return bool(meanings & {Meaning.GAIN_REDUCTION, Meaning.THRESHOLD})
