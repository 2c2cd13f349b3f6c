from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from gear.equipment.models import Unit
from sessions.bookings.models import TAKES_NOTHING, RecordingSession
from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.candidates import Candidate
from sessions.recall.rebuilds.checklist import ControlLine
from sessions.recall.sheet.wanted import WantedChain
from sessions.setups.chains.fields import SettingField
from sessions.setups.levels.forms import LevelField


class StartForm(forms.Form):
    """Which chains of the recall; of a chain in several revisions only the newest is ticked."""

    chains = forms.MultipleChoiceField(
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick at least one chain."},
    )

    def __init__(self, *args, chains: list[WantedChain], **kwargs):
        super().__init__(*args, **kwargs)
        self.by_number = {str(chain.number): chain for chain in chains if chain.stages}
        self.fields["chains"].choices = [
            (number, _chain_words(chain)) for number, chain in self.by_number.items()
        ]
        newest = {(chain.source, chain.track): number for number, chain in self.by_number.items()}
        self.initial.setdefault("chains", list(newest.values()))

    def clean_chains(self):
        return [self.by_number[number] for number in self.cleaned_data["chains"]]


def _chain_words(chain: WantedChain) -> str:
    units = ", ".join(stage.tag or stage.model for stage in chain.stages)
    return f"{chain}: {units}"


class UnitChoiceForm(forms.Form):
    """Which unit stands in for one stage; empty does without."""

    unit = forms.ModelChoiceField(
        Unit.objects.none(), required=False, empty_label="Leave this unit out"
    )
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data=None, *, step: RebuildStep, candidates: list[Candidate], start):
        super().__init__(
            data,
            prefix=f"step-{step.pk}",
            initial={"unit": step.unit_id or (start and start.pk), "seen": step.version},
        )
        self.step = step
        groups: dict[str, list] = {}
        for candidate in candidates:
            if candidate.in_service or candidate.unit.pk == step.unit_id:
                groups.setdefault(candidate.how, []).append(
                    (candidate.unit.pk, _candidate_words(candidate))
                )
        keys = [candidate.unit.pk for candidate in candidates]
        self.fields["unit"].queryset = Unit.objects.filter(pk__in=keys).select_related("model")
        self.fields["unit"].choices = [("", "Leave this unit out"), *groups.items()]
        self.fields["unit"].label = "Unit to use"


def _candidate_words(candidate: Candidate) -> str:
    if not candidate.unmatched:
        return str(candidate.unit)
    count = len(candidate.unmatched)
    return f"{candidate.unit}: {count} setting{'s' if count > 1 else ''} can’t be matched"


#: What asks for a value, rather than says how a control stands.
BUTTONS = {"as_logged", "leave_off", "switch_on"}


class TickForm(forms.Form):
    """One control as it was set: typed, or by the buttons `as_logged`, `leave_off`, `switch_on`, `undo`.

    That phantom power is on where it can do damage is no button's to save, and typed only when it is
    said twice.
    """

    seen = forms.IntegerField(min_value=0, widget=forms.HiddenInput)
    is_sure = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(self, data=None, *, line: ControlLine):
        super().__init__(data)
        self.line = line
        self.fields["value"] = SettingField(line.control)
        self.fields["value"].label = f"{line.control.label}, as set"

    def value(self) -> float | None:
        if "undo" in self.data:
            return None
        values = {
            "as_logged": self.line.logged,
            "leave_off": self.line.off,
            "switch_on": self.line.on,
        }
        for button, value in values.items():
            if button in self.data and value is not None:
                return value
        return self.cleaned_data["value"]

    def clean_value(self):
        value = self.cleaned_data["value"]
        if value is None and not {*BUTTONS, "undo"} & set(self.data):
            raise ValidationError("Type how it is set, or press “As logged”.")
        return value

    @property
    def says_twice(self) -> bool:
        """Whether it is typed by somebody who was asked."""
        return self.cleaned_data["is_sure"] and not BUTTONS & set(self.data)


class ToneForm(forms.Form):
    """What the meter reads at a stage's output: -3.5, +4, −0,2 dBu, -22.4 dBFS."""

    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data=None, *, step: RebuildStep, full_scale_dbu: float):
        super().__init__(data, initial={"reading": step.tone_reading_dbu, "seen": step.version})
        self.fields["reading"] = LevelField(full_scale_dbu=full_scale_dbu)


class SessionField(forms.ModelChoiceField):
    def label_from_instance(self, session: RecordingSession) -> str:
        return f"{date_format(timezone.localtime(session.starts_at))}, {session}"


class FinishForm(forms.Form):
    session = SessionField(
        RecordingSession.objects.none(),
        label="Save as a setup of the session",
        empty_label="Choose the session",
        help_text="Of the song’s project; today’s is chosen where there is one.",
        error_messages={"required": "Choose the session whose setup it becomes."},
    )
    note = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, data=None, *, rebuild: Rebuild, user):
        sessions = RecordingSession.objects.visible_to(user)
        sessions = sessions.filter(project=rebuild.song.project_id)
        sessions = sessions.exclude(status__in=TAKES_NOTHING).order_by("-starts_at", "pk")
        now = timezone.now()
        today = sessions.filter(starts_at__lte=now, ends_at__gt=now).first()
        super().__init__(data, initial={"session": today and today.pk})
        self.fields["session"].queryset = sessions


class DayForm(forms.Form):
    day = forms.DateField(
        label="Day",
        widget=forms.DateInput(attrs={"type": "date"}),
        required=False,
    )

    def clean_day(self):
        if not self.cleaned_data["day"]:
            raise ValidationError("Choose the day to ask for.")
        return self.cleaned_data["day"]
