from datetime import timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from gear.equipment.models import Unit
from sessions.bookings.actions import check_not_over, check_period
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.fields import AllTheSameForm, StudioTimeField
from sessions.bookings.models import TAKES_NOTHING, RecordingSession
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.candidates import Candidate
from sessions.recall.rebuilds.lines import ControlLine, StageLine
from sessions.recall.sheet.wanted import WantedChain
from sessions.rooms.models import Room
from sessions.setups.chains.fields import SettingField
from sessions.setups.levels.forms import LevelField

USUAL_HOURS = 2  # of a session that is made for a rebuild


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


LEFT_OUT = "out"


class UnitChoiceForm(forms.Form):
    """Which unit stands in for one stage: one of the gear, one from outside, or none."""

    unit = forms.ChoiceField(label="Unit to use", required=False)
    outside_unit = forms.CharField(
        label="Unit from outside",
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"placeholder": "hired: whose, its number"}),
    )
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data=None, *, step: RebuildStep, candidates: list[Candidate], start):
        unit = LEFT_OUT if step.is_left_out else step.unit_id or (start and start.pk) or ""
        super().__init__(
            data,
            prefix=f"step-{step.pk}",
            initial={"unit": unit, "outside_unit": step.outside_unit, "seen": step.version},
        )
        self.step = step
        self.units = {str(candidate.unit.pk): candidate.unit for candidate in candidates}
        groups: dict[str, list] = {}
        for candidate in candidates:
            if candidate.in_service or candidate.unit.pk == step.unit_id:
                groups.setdefault(candidate.how, []).append(
                    (candidate.unit.pk, _candidate_words(candidate))
                )
        self.fields["unit"].choices = [
            ("", "One from outside, not in the gear"),
            (LEFT_OUT, "Leave this unit out"),
            *groups.items(),
        ]

    def clean(self):
        facts = super().clean()
        chosen, outside = facts.get("unit"), facts.get("outside_unit", "")
        if chosen and outside and outside != self.step.outside_unit:
            self.add_error("outside_unit", "Choose “One from outside” for this, or empty it again.")
        return facts

    def choice(self) -> dict:
        """As `choose_unit` takes it."""
        chosen = self.cleaned_data["unit"]
        return {
            "unit": self.units.get(chosen),
            "is_left_out": chosen == LEFT_OUT,
            "outside_unit": "" if chosen else self.cleaned_data["outside_unit"],
            "seen": self.cleaned_data["seen"],
        }


def _candidate_words(candidate: Candidate) -> str:
    said = list(candidate.beyond)
    if count := len(candidate.unmatched):
        said.append(f"{count} setting{'s' if count > 1 else ''} can’t be matched")
    return f"{candidate.unit}{': ' if said else ''}{'; '.join(said)}"


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
            raise ValidationError("Type how it is set, or press “Set as logged”.")
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


class FinishForm(AllTheSameForm, forms.Form):
    """The session whose setup the rebuild becomes: one that there is, or with a `status` a new one."""

    session = SessionField(
        RecordingSession.objects.none(),
        label="Save as a setup of the session",
        required=False,
        empty_label="Choose the session",
        help_text="Of the song’s project; today’s is chosen where there is one.",
    )
    note = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}))
    rooms = forms.ModelChoiceField(
        Room.objects.none(), label="Room", required=False, empty_label="Choose the room"
    )
    starts_at = StudioTimeField(label="Starts", required=False)
    ends_at = StudioTimeField(label="Ends", required=False)

    def __init__(self, data=None, *, rebuild: Rebuild, user, status: str = ""):
        self.status = status
        sessions = RecordingSession.objects.visible_to(user)
        sessions = sessions.filter(project=rebuild.song.project_id)
        sessions = sessions.exclude(status__in=TAKES_NOTHING).order_by("-starts_at", "pk")
        now = timezone.now()
        today = sessions.filter(starts_at__lte=now, ends_at__gt=now).first()
        begun = now.replace(minute=0, second=0, microsecond=0)
        rooms = Room.objects.current()
        super().__init__(
            data,
            initial={
                "session": today and today.pk,
                "rooms": rooms[0].pk if len(rooms) == 1 else None,
                "starts_at": begun,
                "ends_at": begun + timedelta(hours=USUAL_HOURS),
            },
        )
        self.fields["session"].queryset = sessions
        self.fields["rooms"].queryset = rooms

    def clean(self):
        facts = super().clean()
        if not self.status:
            if not facts.get("session") and "session" not in self.errors:
                self.add_error(
                    "session", "Choose the session whose setup it becomes, or make one below."
                )
            return facts
        for name, label in (("rooms", "room"), ("starts_at", "start"), ("ends_at", "end")):
            if not facts.get(name) and name not in self.errors:
                self.add_error(name, f"A new session needs its {label}.")
        if not self.errors:
            check_period(facts["starts_at"], facts["ends_at"])
            check_not_over(self.status, facts["ends_at"])
        return facts

    @property
    def of_new_session(self) -> list[forms.BoundField]:
        names = ("rooms", "starts_at", "ends_at", "all_the_same")
        return [self[name] for name in names if name in self.fields]

    def booking(self) -> dict:
        """As `finish_in_new_session` takes it."""
        facts = self.cleaned_data
        return {
            "room": facts["rooms"],
            "starts_at": facts["starts_at"],
            "ends_at": facts["ends_at"],
            "all_the_same": facts.get("all_the_same", False),
            "note": facts["note"],
            "status": self.status,
        }

    def refuse(self, refusal: BookingRefused) -> None:
        """Why it can't be booked, beside the fields."""
        self.add_error(None, refusal)
        if isinstance(refusal, OutsideHoursError):
            self.ask_all_the_same()


class TakeOverForm(forms.Form):
    """The tag of the unit that comes into the gear."""

    asset_tag = forms.CharField(max_length=20, help_text="As it is stuck on it here.")
    serial_number = forms.CharField(max_length=40, required=False)
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data=None, *, line: StageLine):
        # One that was named is another one than the logged unit, whose number is not its own.
        serial = "" if line.step.outside_unit else line.wanted.serial_number
        super().__init__(
            data,
            initial={"serial_number": serial[:40], "seen": line.step.version},
        )

    def clean_asset_tag(self):
        tag = self.cleaned_data["asset_tag"]
        if Unit.objects.filter(asset_tag=tag).exists():
            raise ValidationError("Another unit carries this tag.")
        return tag


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
