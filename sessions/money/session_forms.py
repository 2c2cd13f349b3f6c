"""Forms of one session's money: what it is charged by, its worked hours, its papers."""

from django import forms
from django.db.models import Q

from sessions.bookings.models import RecordingSession
from sessions.money.models import PaperKind
from sessions.terms.forms import NOT_A_NUMBER


class ChooseForm(forms.ModelForm):
    """What a session is charged by."""

    units = {"discount_percent": "%"}

    class Meta:
        model = RecordingSession
        fields = ["rate_card", "cancellation_terms", "discount_percent"]
        error_messages = {
            "discount_percent": {
                "invalid": NOT_A_NUMBER,
                "min_value": "A discount cannot be below 0.",
                "max_value": "A discount cannot be more than 100 per cent.",
            }
        }
        help_texts = {"discount_percent": "Off every line, before tax."}
        labels = {"discount_percent": "Discount"}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, empty in (("rate_card", "No rate card"), ("cancellation_terms", "No terms")):
            chosen = getattr(self.instance, f"{name}_id")
            field = self.fields[name]
            field.queryset = field.queryset.filter(Q(retired=False) | Q(pk=chosen))
            field.empty_label = empty


class IssueForm(forms.Form):
    kind = forms.ChoiceField(choices=PaperKind, widget=forms.HiddenInput)
    valid_until = forms.DateField(
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Give a day, such as 01/06/2026."},
    )
    note = forms.CharField(
        required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )
