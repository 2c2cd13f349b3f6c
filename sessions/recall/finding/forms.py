from django import forms

from sessions.recall.finding.words import words_of


class FindForm(forms.Form):
    """What somebody remembers: words, or the day of the session, or both."""

    q = forms.CharField(
        label="Words",
        required=False,
        max_length=120,
        widget=forms.TextInput(attrs={"type": "search", "placeholder": "title, part, tag, note"}),
    )
    day = forms.DateField(
        required=False, label="Day of the session", widget=forms.DateInput(attrs={"type": "date"})
    )

    def clean_q(self):
        return words_of(self.cleaned_data["q"])

    @property
    def asks(self) -> bool:
        return bool(self.cleaned_data["q"] or self.cleaned_data["day"])
