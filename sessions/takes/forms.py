from django import forms

from sessions.setups.models import Setup
from sessions.songs.models import Song
from sessions.takes.models import FALSE_STARTS, Mark, Take, TakeKind, TakePart


class RecordingNowForm(forms.Form):
    """What is being recorded: the song, and the setup that stands. Read from the address."""

    song = forms.ModelChoiceField(Song.objects.none())
    setup = forms.ModelChoiceField(
        Setup.objects.none(), required=False, empty_label="No setup documented"
    )

    def __init__(self, *args, session, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["setup"].queryset = session.setups.all()
        self.fields["song"].queryset = Song.objects.filter(project=session.project_id)


class PassForm(forms.ModelForm):
    """How a take is recorded: whole, or punched into one, with its points and pre-roll."""

    class Meta:
        model = Take
        fields = ["kind", "into", "punch_in", "punch_out", "pre_roll_bars", "note"]
        labels = {
            "punch_in": "In at",
            "punch_out": "Out at",
            "pre_roll_bars": "Pre-roll, bars",
        }

    def __init__(self, *args, parts=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.parts = parts or (self.instance.pk and list(self.instance.parts.all())) or ()
        self.fields["into"].queryset = (
            Take.objects.to_punch_into(self.parts).exclude(pk=self.instance.pk).order_by("-number")
        )

    def clean(self):
        data = super().clean()
        points = [
            name for name in ("into", "punch_in", "punch_out", "pre_roll_bars") if data.get(name)
        ]
        if data.get("kind") == TakeKind.WHOLE and points:
            self.add_error(
                points[0],
                "A whole take has no punch points: choose Punch-in, or leave them empty.",
            )
        if data.get("kind") == TakeKind.PUNCH_IN:
            if not data.get("into") and "into" not in self.errors:
                self.add_error("into", "A punch-in goes into a take: choose which.")
            if not data.get("punch_in"):
                self.add_error(
                    "punch_in",
                    "A punch-in needs the place where it goes in, such as “bar 17, beat 3”.",
                )
        return data


class LogForm(PassForm):
    """A pass that is being logged; the mark is the button that was pressed."""

    mark = forms.ChoiceField(
        choices=[("", "Not marked"), *Mark.choices], required=False, widget=forms.HiddenInput
    )
    rolling = forms.BooleanField(required=False, widget=forms.HiddenInput)


class TakePartForm(forms.ModelForm):
    """How a part came out in a take, put right afterwards."""

    class Meta:
        model = TakePart
        fields = ["mark", "grade", "circled", "note"]

    def clean(self):
        data = super().clean()
        if data.get("circled") and data.get("mark") in FALSE_STARTS:
            self.add_error("circled", "A false start can’t be chosen: take one of the two off.")
        return data
