from django import forms

from gear.editing.names import named_once
from sessions.clients.models import Person
from sessions.songs import identifiers
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import Part, Relation, Song
from sessions.songs.tempo import EXAMPLE as TEMPO_EXAMPLE
from sessions.songs.tempo import meters_text, read_meters, read_tempo


class SongForm(forms.ModelForm):
    """A song of the instance's project, which must be set before."""

    tempo_map = forms.CharField(
        label="Tempo map",
        required=False,
        help_text=(
            "Bar and quarter notes a minute, whatever the time signature, wherever the tempo "
            f"changes: {TEMPO_EXAMPLE}."
        ),
    )
    iswc = forms.CharField(
        label="ISWC",
        required=False,
        help_text=f"The work’s code, where it is registered: {identifiers.ISWC_EXAMPLE}.",
    )
    isrc = forms.CharField(
        label="ISRC",
        required=False,
        help_text=f"The recording’s code, where one is assigned: {identifiers.ISRC_EXAMPLE}.",
    )

    class Meta:
        model = Song
        fields = [
            "title",
            "key",
            "meter",
            "tempo_map",
            "last_bar",
            "writers",
            "iswc",
            "isrc",
            "note",
        ]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["tempo_map"] = self.instance.tempo
        self.initial["iswc"] = self.instance.iswc_printed
        self.initial["isrc"] = self.instance.isrc_printed

    def clean_title(self):
        project = self.instance.project
        return named_once(self, "title", among=project.songs, of=project)

    def clean_meter(self):
        return meters_text(read_meters(self.cleaned_data["meter"]))

    def clean_tempo_map(self):
        return read_tempo(self.cleaned_data["tempo_map"])

    def clean_iswc(self):
        text = self.cleaned_data["iswc"]
        return identifiers.clean_iswc(text) if text else ""

    def clean_isrc(self):
        text = self.cleaned_data["isrc"]
        return identifiers.clean_isrc(text) if text else ""


class PartForm(forms.ModelForm):
    """A part of the instance's song, which must be set before."""

    class Meta:
        model = Part
        fields = [
            "name",
            "performer",
            "position",
            "is_guide",
            "relation",
            "related_to",
            "note",
        ]
        help_texts = {
            "name": "Lead vocal, harmony 1, fiddle …",
            "position": "Its place in the song’s list of parts.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["performer"].queryset = Person.objects.current_or(self.instance.performer_id)
        self.fields["performer"].empty_label = "Not given"
        self.fields["relation"].choices = [("", "stands alone"), *Relation.choices]
        others = self.instance.song.parts.exclude(pk=self.instance.pk)
        self.fields["related_to"].queryset = others
        self.fields["related_to"].empty_label = "none"

    def clean_name(self):
        song = self.instance.song
        return named_once(self, "name", among=song.parts, of=song)

    def clean(self):
        facts = super().clean()
        other = facts.get("related_to")
        if bool(other) != bool(facts.get("relation")):
            missing = "relation" if other else "related_to"
            self.add_error(missing, "Say both what it does and beside which part, or neither.")
        elif other and self.instance.pk and other.related_to_id == self.instance.pk:
            self.add_error(
                "related_to", f"{other} stands beside this part already: one of them comes first."
            )
        return facts


class LyricsForm(forms.Form):
    text = forms.CharField(
        label="Lyrics",
        required=False,
        widget=forms.Textarea(attrs={"rows": 24}),
        help_text=(
            "A line in square brackets starts a section: [Verse 1], or with its first "
            "bar: [Verse 1, bar 17]. Every other line is a lyric line, or with where it is sung: "
            "[bar 18, beat 3] Out on the water, or [1:23.5] Out on the water. Empty lines are ignored."
        ),
    )

    def clean_text(self):
        """The sections that are written, read from the text."""
        return read_lyrics(self.cleaned_data["text"])

    def refuse(self, refusal: forms.ValidationError) -> None:
        self.add_error("text", refusal)
