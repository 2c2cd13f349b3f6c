import re
from functools import cached_property

from django import forms

from gear.asked import whole_number
from sessions.setups.models import Setup
from sessions.songs.models import Song
from sessions.songs.places import EXAMPLE, check_points, read_place
from sessions.takes.models import FALSE_STARTS, Mark, Take, TakeKind, TakePart, What

LISTED = 50  # takes, where one of a song is chosen


class RecordingNowForm(forms.Form):
    """What is being recorded: the song, and the setup that stands. Read from the address."""

    song = forms.ModelChoiceField(Song.objects.none())
    setup = forms.ModelChoiceField(Setup.objects.none(), required=False, empty_label="No setup")

    def __init__(self, *args, session, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["setup"].queryset = session.setups.all()
        self.fields["song"].queryset = Song.objects.filter(project=session.project_id)


class PassForm(forms.ModelForm):
    """How a take is recorded: whole, or punched into one, with its points and pre-roll."""

    pre_roll = forms.CharField(
        label="Pre-roll", required=False, help_text="In bars or seconds: 2 bars, 5 s."
    )

    class Meta:
        model = Take
        fields = ["kind", "into", "punch_in", "punch_out", "pre_roll", "note"]
        labels = {"punch_in": "In at", "punch_out": "Out at"}
        help_texts = {"punch_in": f"{EXAMPLE[0].upper()}{EXAMPLE[1:]}.", "punch_out": ""}

    def __init__(self, *args, parts=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.parts = parts or (self.instance.pk and list(self.instance.parts.all())) or ()
        self.fields["into"].queryset = (
            Take.objects.to_punch_into(self.parts).exclude(pk=self.instance.pk).order_by("-number")
        )
        self.fields["into"].choices = lambda: self._takes_to_punch_into
        self.initial.setdefault("pre_roll", self.instance.pre_roll)

    @cached_property
    def _takes_to_punch_into(self) -> list[tuple]:
        """The newest, and the one that is chosen; any other may be sent all the same."""
        field, chosen = self.fields["into"], whole_number(str(self["into"].value() or ""))
        takes = list(field.queryset[:LISTED])
        if chosen and chosen not in {take.pk for take in takes}:
            takes += field.queryset.filter(pk=chosen)
        return [("", field.empty_label), *((take.pk, str(take)) for take in takes)]

    def clean_pre_roll(self):
        """In bars and in seconds, of which one is None or both are."""
        typed = self.cleaned_data["pre_roll"].strip().casefold()
        found = re.fullmatch(r"(\d{1,3})\s*(b|bars?|s|sec|seconds?|)", typed)
        if typed and not found:
            raise forms.ValidationError(
                f"“{typed}” is not a pre-roll: write bars or seconds, such as 2 bars or 5 s."
            )
        count = int(found[1]) if found else None
        return (None, count) if found and found[2].startswith("s") else (count, None)

    def clean_punch_in(self):
        return self._place("punch_in")

    def clean_punch_out(self):
        return self._place("punch_out")

    def _place(self, name: str) -> str:
        typed = self.cleaned_data[name]
        return str(read_place(typed)) if typed else ""

    def clean(self):
        data = super().clean()
        points = [name for name in ("into", "punch_in", "punch_out") if data.get(name)]
        if data.get("kind") == TakeKind.WHOLE and points:
            self.add_error(
                points[0],
                "A whole take has no punch points: choose Punch-in, or leave them empty.",
            )
        if data.get("kind") == TakeKind.PUNCH_IN:
            if not data.get("into") and "into" not in self.errors:
                self.add_error("into", "A punch-in goes into a take: choose which.")
            self._check_points(data)
        bars, seconds = data.pop("pre_roll", (None, None))
        # The pre-roll is kept from the last punch-in, so that a whole take just has none.
        is_punch_in = data.get("kind") == TakeKind.PUNCH_IN
        self.instance.pre_roll_bars = data["pre_roll_bars"] = bars if is_punch_in else None
        self.instance.pre_roll_seconds = data["pre_roll_seconds"] = seconds if is_punch_in else None
        return data

    def _check_points(self, data) -> None:
        if not data.get("punch_in"):
            if "punch_in" not in self.errors:
                self.add_error(
                    "punch_in",
                    "A punch-in needs the place where it goes in, such as “bar 17, beat 3”.",
                )
        elif self.parts:
            try:
                check_points(self.parts[0].song, data["punch_in"], data.get("punch_out"))
            except forms.ValidationError as refusal:
                self.add_error(None, refusal)


class LogForm(PassForm):
    """A pass that is being logged."""


class PressForm(forms.Form):
    """What a press of the tracking page sends; the rest is the LogForm's. Times are by the clock of the
    device, in milliseconds since 1970."""

    number = forms.UUIDField()
    what = forms.ChoiceField(choices=What.choices)
    pressed_at = forms.IntegerField(required=False)
    sent_at = forms.IntegerField(required=False)
    version = forms.IntegerField(required=False)
    mark = forms.ChoiceField(choices=[("", "Not marked"), *Mark.choices], required=False)
    note = forms.CharField(max_length=200, required=False)
    circled = forms.BooleanField(required=False)

    def clean(self):
        data = super().clean()
        if data.get("what") == What.MARK and not data.get("mark") and "mark" not in self.errors:
            self.add_error("mark", "Which mark? Choose one of the legend.")
        return data


class TakePartForm(forms.ModelForm):
    """How a part came out in a take, put right afterwards."""

    class Meta:
        model = TakePart
        fields = ["mark", "grade", "circled", "note"]

    def clean(self):
        data = super().clean()
        if data.get("circled") and data.get("mark") in FALSE_STARTS:
            self.add_error("circled", "A false start can’t be chosen: remove one of the two.")
        return data
