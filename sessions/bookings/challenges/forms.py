from django import forms

from sessions.bookings.house.models import HouseRules
from sessions.bookings.models import RecordingSession


class HoldField(forms.ModelChoiceField):
    def label_from_instance(self, hold) -> str:
        return f"{hold} ({hold.project}, {hold.project.client}): {hold.period_in_words}"


class ChallengeForm(forms.Form):
    """Which of the holds before a session is to answer."""

    hold = HoldField(
        RecordingSession.objects.none(),
        empty_label=None,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the hold that is to be confirmed or released.",
            "invalid_choice": "That hold does not stand before this session any more.",
        },
    )

    def __init__(self, *args, holds: list[RecordingSession], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["hold"].queryset = RecordingSession.objects.filter(
            pk__in=[hold.pk for hold in holds]
        ).select_related("project__client")


class HouseRulesForm(forms.ModelForm):
    currency = forms.RegexField(
        "^[A-Z]{3}$",
        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
        widget=forms.TextInput(attrs={"class": "short", "maxlength": 3}),
        error_messages={"invalid": "Give the three letters of the currency, such as GBP."},
    )
    tax_percent = forms.DecimalField(
        label="Rate of tax",
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        widget=forms.NumberInput(attrs={"class": "short", "step": "any"}),
        error_messages={"min_value": "Give 0 to 100.", "max_value": "Give 0 to 100."},
    )

    units = {"challenge_hours": "hours", "tax_percent": "%"}

    class Meta:
        model = HouseRules
        fields = ["challenge_hours", "sender", "currency", "tax_name", "tax_percent"]
        labels = {
            "challenge_hours": "Time to answer a challenge",
            "sender": "E-mail sender",
            "tax_name": "Tax",
        }
        error_messages = {
            "challenge_hours": {
                "min_value": "Give 24 to 48 hours.",
                "max_value": "Give 24 to 48 hours.",
            }
        }
        widgets = {
            "challenge_hours": forms.NumberInput(attrs={"class": "short"}),
            "tax_name": forms.TextInput(attrs={"class": "medium"}),
        }
