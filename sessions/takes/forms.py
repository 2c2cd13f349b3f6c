from django import forms

from sessions.songs.models import Part
from sessions.takes.models import FALSE_STARTS, Mark, Take, TakeKind


class RecordingNowForm(forms.Form):
    """What is being recorded: the setup that stands, and the part. Read from the address."""

    setup = forms.ModelChoiceField(None, required=False, empty_label="No setup documented")
    part = forms.ModelChoiceField(None)

    def __init__(self, *args, session, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["setup"].queryset = session.setups.all()
        self.fields["part"].queryset = Part.objects.filter(
            song__project=session.project_id
        ).select_related("song")
        self.fields["part"].label_from_instance = lambda part: f"{part.song}: {part}"


class PunchForm(forms.ModelForm):
    """How a take is recorded: whole, or punched in with its points and pre-roll."""

    class Meta:
        model = Take
        fields = ["kind", "punch_in", "punch_out", "pre_roll_bars", "note"]
        labels = {
            "punch_in": "In at",
            "punch_out": "Out at",
            "pre_roll_bars": "Pre-roll, bars",
        }

    def clean(self):
        data = super().clean()
        points = [name for name in ("punch_in", "punch_out", "pre_roll_bars") if data.get(name)]
        if data.get("kind") == TakeKind.WHOLE and points:
            self.add_error(
                points[0],
                "A whole take has no punch points: choose Punch-in, or leave them empty.",
            )
        if data.get("kind") == TakeKind.PUNCH_IN and not data.get("punch_in"):
            self.add_error(
                "punch_in", "A punch-in needs the place where it goes in, such as “bar 17, beat 3”."
            )
        return data


class LogForm(RecordingNowForm, PunchForm):
    """Everything one logged take is made of; the mark is the button that was pressed."""

    mark = forms.ChoiceField(
        choices=[("", "Not marked"), *Mark.choices], required=False, widget=forms.HiddenInput
    )
    rolling = forms.BooleanField(required=False, widget=forms.HiddenInput)

    class Meta(PunchForm.Meta):
        pass


class TakeForm(PunchForm):
    """A take put right afterwards. Its number and its revisions stand for good."""

    class Meta(PunchForm.Meta):
        fields = ["mark", "grade", "circled", *PunchForm.Meta.fields]

    def clean(self):
        data = super().clean()
        if data.get("circled") and data.get("mark") in FALSE_STARTS:
            self.add_error("circled", "A false start can’t be chosen: take one of the two off.")
        return data
