from django import forms

from sessions.deliverables.listening.models import Choice, MixNote, NoteState
from sessions.deliverables.listening.song_places import SongPlace, seconds_of
from sessions.deliverables.models import Deliverable
from sessions.songs.models import LyricLine, Section
from sessions.songs.places import read_place

BY_TIME = "By the time"


class SaidByForm(forms.Form):
    """What somebody said; whoever writes it down may do so for another."""

    said_by = forms.CharField(
        label="Said by",
        required=False,
        max_length=120,
        help_text="If somebody else said it, on the telephone for example.",
    )


class NoteForm(SaidByForm):
    """A note on a mix. `seconds` and the `place` it is about come out of `cleaned_data`."""

    time = forms.CharField(
        required=False,
        max_length=20,
        help_text="Minutes and seconds (1:23.5) or a bar (bar 17); nothing for the whole mix.",
        widget=forms.TextInput(attrs={"data-takes-time": "", "autocomplete": "off"}),
    )
    about = forms.ChoiceField(required=False, label="Section or line")
    text = forms.CharField(
        label="Note", widget=forms.Textarea(attrs={"rows": 3, "data-asks-time": ""})
    )
    field_order = ["text", "time", "about", "said_by"]

    def __init__(self, *args, deliverable: Deliverable, places: list[SongPlace], **kwargs):
        super().__init__(*args, **kwargs)
        self._deliverable = deliverable
        self._places = {_key(place.of): place for place in places}
        offered = [(key, _shown(place)) for key, place in self._places.items()]
        self.fields["about"].choices = [("", BY_TIME), *offered]
        if not offered:
            del self.fields["about"]

    def clean_time(self) -> float | None:
        typed = self.cleaned_data["time"]
        return seconds_of(typed, self._deliverable) if typed.strip() else None

    def clean(self):
        typed = self.cleaned_data
        place = self._places.get(typed.get("about"))
        seconds = typed.get("time")
        if place and place.seconds is not None and not self.data.get("time", "").strip():
            seconds = place.seconds + self._deliverable.bar_one_seconds
        typed["seconds"] = seconds
        typed["section"] = place.of if place and place.is_section else None
        typed["line"] = place.of if place and not place.is_section else None
        return typed

    @property
    def note(self) -> dict:
        """As `add_note` takes it."""
        return {
            name: self.cleaned_data[name]
            for name in ("text", "seconds", "section", "line", "said_by")
        }


class AnswerForm(forms.ModelForm):
    class Meta:
        model = MixNote
        fields = ["state", "answer"]
        widgets = {"state": forms.RadioSelect, "answer": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["state"].choices = NoteState.choices


class BarOneForm(forms.Form):
    time = forms.CharField(
        label="Bar 1 begins at",
        max_length=20,
        help_text="In this file: minutes and seconds, such as 0:02.5 behind a count-in.",
        widget=forms.TextInput(attrs={"data-takes-time": "", "data-asks-time": ""}),
    )

    def clean_time(self) -> float:
        place = read_place(self.cleaned_data["time"])
        if place.seconds is None:
            raise forms.ValidationError("Type minutes and seconds, such as 0:02.5.")
        return float(place.seconds)


class VerdictForm(SaidByForm):
    choice = forms.ChoiceField(label="Verdict", choices=Choice, widget=forms.RadioSelect)
    text = forms.CharField(
        label="In words", required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    field_order = ["choice", "text", "said_by"]


def _key(of: Section | LyricLine) -> str:
    return f"{'s' if isinstance(of, Section) else 'l'}{of.pk}"


def _shown(place: SongPlace) -> str:
    words = str(place.of) if place.is_section else f"    {place.of}"
    return f"{words} ({place.time})" if place.time else words
