import re

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from sessions.desk.summary.letter import Draft


class SummaryForm(forms.Form):
    """To whom the summary of the day goes, and what it says."""

    people = forms.MultipleChoiceField(
        label="Send to", required=False, widget=forms.CheckboxSelectMultiple
    )
    others = forms.CharField(
        label="Further addresses",
        required=False,
        max_length=1000,
        help_text="Separated by commas, or one a line.",
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    subject = forms.CharField(max_length=150)
    body = forms.CharField(label="Text", widget=forms.Textarea(attrs={"rows": 18}))
    for_the_house = forms.CharField(
        label="For studio staff only",
        required=False,
        help_text="Added to the e-mails of people who sign in here; the client does not get it.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, *args, offered: dict[str, str], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["people"].choices = list(offered.items())
        if not offered:
            del self.fields["people"]

    def clean_others(self) -> list[str]:
        typed = [each for each in re.split(r"[,;\s]+", self.cleaned_data["others"]) if each]
        wrong = [each for each in typed if not _is_address(each)]
        if wrong:
            raise ValidationError(
                f"Not an e-mail address: {', '.join(wrong)}. Write it like name@place.example."
            )
        return typed

    def clean(self) -> None:
        if not self.errors and not self.recipients():
            last = "people" if "people" in self.fields else "others"
            self.add_error(last, "Choose at least one person, or enter an address below.")

    def recipients(self) -> list[str]:
        """Each address once, however it is written."""
        chosen = [*self.cleaned_data.get("people", []), *self.cleaned_data.get("others", [])]
        return list({address.lower(): address for address in reversed(chosen)}.values())[::-1]

    def draft(self) -> Draft:
        data = self.cleaned_data
        return Draft(data["subject"], data["body"], data["for_the_house"])


def _is_address(text: str) -> bool:
    try:
        validate_email(text)
    except ValidationError:
        return False
    return True
