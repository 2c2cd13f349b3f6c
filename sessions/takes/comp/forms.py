from django import forms

from sessions.songs.models import LyricLine
from sessions.takes.models import CompGrade


class GradeForm(forms.ModelForm):
    """How a line came out in a take, with a note."""

    class Meta:
        model = CompGrade
        fields = ["grade", "note"]


class SplitForm(forms.Form):
    after = forms.TypedChoiceField(
        label="Split after", coerce=int, empty_value=None, widget=forms.RadioSelect
    )

    def __init__(self, *args, line: LyricLine, **kwargs):
        super().__init__(*args, **kwargs)
        words = line.text.split()
        self.fields["after"].choices = [
            (count, " ".join(words[:count])) for count in range(1, len(words))
        ]
