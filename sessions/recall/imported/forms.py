from django import forms
from django.core.exceptions import ValidationError

from sessions.recall.imported.child import read_in_child
from sessions.recall.imported.reading import PDF_LIMIT
from sessions.recall.imported.sense import NotARecall
from sessions.recall.models import ImportedSheet
from sessions.songs.models import Song

LIMIT_MB = PDF_LIMIT >> 20


class FileForm(forms.Form):
    """A recall sheet's PDF or JSON file; once valid, `recall` is the data that was read from it."""

    file = forms.FileField(
        label="Recall sheet",
        help_text="The PDF of a recall sheet, with its data attached, or the JSON file itself. "
        f"At most {LIMIT_MB} MB.",
        widget=forms.FileInput(attrs={"accept": ".pdf,.json,application/pdf,application/json"}),
        error_messages={"empty": "This file is empty."},
    )

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > PDF_LIMIT:
            raise ValidationError(f"This file is larger than {LIMIT_MB} MB: no recall sheet is.")
        try:
            self.recall = read_in_child(file)
        except NotARecall as problem:
            raise ValidationError(str(problem)) from problem
        return file


class SongField(forms.ModelChoiceField):
    def label_from_instance(self, song: Song) -> str:
        return f"{song} ({song.project.artist})"


class SongChoiceForm(forms.Form):
    """For which song here it is kept; one of the same title is suggested."""

    song = SongField(
        Song.objects.none(),
        label="Import for the song",
        empty_label="Choose a song of this studio",
    )

    def __init__(self, data=None, *, imported: ImportedSheet, user):
        songs = Song.objects.visible_to(user).select_related("project")
        same = list(songs.filter(title__iexact=imported.title)[:2])
        super().__init__(data, initial={"song": same[0].pk} if len(same) == 1 else {})
        self.fields["song"].queryset = songs
