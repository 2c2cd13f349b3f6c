"""Forms of one session's money: what it is charged by, its worked hours, its papers."""

from django import forms
from django.db.models import Q

from gear.editing.units import UnitsForm
from sessions.bookings.models import RecordingSession
from sessions.money.models import ISSUED_AT_WILL


class ChooseForm(UnitsForm):
    """What a session is charged by."""

    class Meta:
        model = RecordingSession
        fields = ["rate_card", "cancellation_terms", "discount_percent"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, empty in (("rate_card", "No rate card"), ("cancellation_terms", "No terms")):
            chosen = getattr(self.instance, f"{name}_id")
            field = self.fields[name]
            field.queryset = field.queryset.filter(Q(retired=False) | Q(pk=chosen))
            field.empty_label = empty


class IssueForm(forms.Form):
    kind = forms.ChoiceField(
        choices=[(kind.value, kind.label) for kind in ISSUED_AT_WILL], widget=forms.HiddenInput
    )
    valid_until = forms.DateField(
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Enter a day, such as 2026-06-01."},
    )
    note = forms.CharField(
        required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )
