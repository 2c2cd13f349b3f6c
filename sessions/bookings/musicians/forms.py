from django import forms
from django.utils import timezone

from sessions.bookings.clashes import BookingRefused
from sessions.bookings.fields import StudioTimeField
from sessions.bookings.models import Attendance, Credit, RecordingSession, Release
from sessions.bookings.musicians.breaks import NotBreaks, breaks_of, breaks_text
from sessions.clients.models import Person
from sessions.songs.models import Part, Song


class CreditForm(forms.ModelForm):
    """A credit, and the songs and parts that it is for."""

    on = forms.MultipleChoiceField(
        label="Songs and parts",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="No tick: everything that was recorded at the session.",
    )

    class Meta:
        model = Credit
        fields = ["person", "role", "instrument", "credited_as"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        credit = self.instance
        self.fields["person"].queryset = Person.objects.current_or(credit.person_id)
        songs = credit.session.project.songs.prefetch_related("parts")
        self._things: dict[str, Song | Part] = {}
        choices = [(song.title, list(self._offered(song))) for song in songs]
        self.fields["on"].choices = choices
        if not choices:
            self.fields["on"].help_text = "The project has no songs yet."
        self.initial["on"] = [
            _key(each.part or each.song) for each in credit.on.select_related("song", "part")
        ]

    def _offered(self, song: Song):
        for thing in (song, *song.parts.all()):
            self._things[_key(thing)] = thing
            yield _key(thing), "The whole song" if thing is song else thing.name

    def clean_on(self) -> list[Song | Part]:
        """Who is credited for the whole of a song needs no ticks for its parts."""
        ticked = [self._things[key] for key in self.cleaned_data["on"]]
        whole = {thing for thing in ticked if isinstance(thing, Song)}
        return [thing for thing in ticked if getattr(thing, "song", None) not in whole]

    def refuse(self, refusal: BookingRefused) -> None:
        self.add_error(None, refusal)


def _key(thing: Song | Part) -> str:
    return f"{thing._meta.model_name}-{thing.pk}"


class AttendanceForm(forms.Form):
    """When a musician is called, and when they came in, paused and went out."""

    called_at = StudioTimeField(label="Call", required=False, help_text="When they are wanted.")
    came_at = StudioTimeField(label="In", required=False)
    left_at = StudioTimeField(label="Out", required=False)
    breaks = forms.CharField(
        required=False,
        max_length=300,
        help_text="13:00 to 14:00, 16:15 to 16:30; one that goes on: 16:15 on.",
    )
    note = forms.CharField(required=False, max_length=200)

    def __init__(self, *args, breaks=(), **kwargs):
        super().__init__(*args, **kwargs)
        self._saved_breaks = list(breaks)

    @classmethod
    def filled_with(cls, attendance: Attendance, data=None) -> "AttendanceForm":
        facts = ("called_at", "came_at", "left_at", "note")
        breaks = [(each.starts_at, each.ends_at) for each in attendance.breaks.all()]
        initial = {name: getattr(attendance, name) for name in facts}
        return cls(data, initial=initial | {"breaks": breaks_text(breaks)}, breaks=breaks)

    def clean(self):
        """Breaks that were not typed anew keep their seconds."""
        cleaned = super().clean()
        if "breaks" not in cleaned:
            return cleaned
        if "breaks" not in self.changed_data:
            cleaned["breaks"] = self._saved_breaks
        elif came_at := cleaned.get("came_at"):
            try:
                cleaned["breaks"] = breaks_of(cleaned["breaks"], came_at)
            except NotBreaks as refusal:
                self.add_error("breaks", str(refusal))
        elif "came_at" not in self.errors and cleaned["breaks"]:
            self.add_error("breaks", "Give when they came in, too.")
        else:
            cleaned["breaks"] = []
        return cleaned

    def refuse(self, refusal: BookingRefused) -> None:
        for field, sentences in refusal.message_dict.items():
            self.add_error(field if field in self.fields else None, sentences)


class NewAttendanceForm(AttendanceForm):
    person = forms.ModelChoiceField(Person.objects.none(), label="Musician")
    field_order = ["person"]

    def __init__(self, *args, session: RecordingSession, **kwargs):
        super().__init__(*args, **kwargs)
        credited = session.credits.of_performers().values("person")
        self.fields["person"].queryset = Person.objects.filter(pk__in=credited)


class ReleaseForm(forms.ModelForm):
    """One that was signed on paper."""

    class Meta:
        model = Release
        fields = ["covers", "signed_on", "note"]
        widgets = {"signed_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}

    def clean_signed_on(self):
        signed_on = self.cleaned_data["signed_on"]
        if signed_on > timezone.localdate():
            raise forms.ValidationError("This day is still to come.")
        return signed_on


class ReleaseEditForm(ReleaseForm):
    """What was signed here stays as it was signed: only what came of it can be added."""

    class Meta(ReleaseForm.Meta):
        fields = [*ReleaseForm.Meta.fields, "withdrawn_on"]
        widgets = {
            **ReleaseForm.Meta.widgets,
            "withdrawn_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.signature_id:
            del self.fields["covers"], self.fields["signed_on"]

    def clean(self):
        cleaned = super().clean()
        signed_on = cleaned.get("signed_on", self.instance.signed_on)
        withdrawn_on = cleaned.get("withdrawn_on")
        if withdrawn_on and signed_on and withdrawn_on < signed_on:
            self.add_error("withdrawn_on", "It was withdrawn before it was signed.")
        return cleaned
