from django import forms
from django.core.exceptions import ValidationError

from gear.comma_separated import Unreadable, decoded

LARGEST_FILE = 1_000_000  # bytes


class ListForm(forms.Form):
    """A list as a file or as text; a file, where one is chosen, takes the place of the text."""

    file = forms.FileField(
        label="File",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv,text/plain"}),
        help_text="CSV in UTF-8, in the format of the CSV export.",
    )
    text = forms.CharField(
        label="CSV as text",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false", "class": "mono list-text"}),
        help_text="Paste it here, or correct here what was wrong in the file.",
    )
    shown = forms.CharField(required=False, widget=forms.HiddenInput)

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file and file.size > LARGEST_FILE:
            raise ValidationError("This file is larger than 1 MB: import it in parts.")
        return file

    def clean(self):
        facts = super().clean()
        if facts.get("file"):
            try:
                facts["text"] = decoded(facts["file"].read())
            except Unreadable as problem:
                self.add_error("file", f"Line {problem.line}: {problem}")
        elif not (facts.get("text") or "").strip() and not self.errors:
            self.add_error("file", "Choose a file, or paste the list below.")
        elif len(facts.get("text") or "") > LARGEST_FILE:
            self.add_error("text", "This list is longer than 1 MB: import it in parts.")
        return facts
