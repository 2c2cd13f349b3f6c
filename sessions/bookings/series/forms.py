from django import forms

from sessions.bookings.models import FIRST_STATUSES, RecordingSession, Status
from sessions.bookings.series.dates import dates_by_rule
from sessions.bookings.series.rules import (
    EXAMPLE,
    FREQUENCIES,
    MOST,
    PARTS,
    WEEKDAYS,
    Day,
    Rule,
    RuleRefused,
    end_of,
)

WRONG_NUMBER = ("invalid", "min_value", "max_value")


class RepeatForm(forms.Form):
    """How a session is repeated; `rule` and `dates` hold what came of it once it is valid."""

    frequency = forms.ChoiceField(
        label="Repeat by",
        choices=FREQUENCIES.items(),
        initial="WEEKLY",
        required=False,
        widget=forms.RadioSelect,
    )
    interval = forms.IntegerField(
        label="Interval",
        help_text="With weeks, 2 is every other week.",
        min_value=1,
        max_value=99,
        initial=1,
        required=False,
        widget=forms.NumberInput(attrs={"class": "short"}),
        error_messages=dict.fromkeys(WRONG_NUMBER, "Enter a whole number from 1 to 99."),
    )
    days = forms.MultipleChoiceField(
        label="On",
        choices=WEEKDAYS.items(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="None ticked: the session’s own weekday.",
    )
    count = forms.IntegerField(
        label="How many sessions, this one included",
        min_value=2,
        max_value=MOST,
        required=False,
        widget=forms.NumberInput(attrs={"class": "short"}),
        error_messages=dict.fromkeys(WRONG_NUMBER, f"Enter a whole number from 2 to {MOST}."),
    )
    until = forms.DateField(
        label="Or until",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    rule = forms.CharField(
        label="Or a rule",
        required=False,
        max_length=400,
        help_text=f"A recurrence rule (RFC 5545), such as {EXAMPLE}. It replaces all of the above.",
        widget=forms.TextInput(attrs={"class": "mono"}),
    )
    status = forms.ChoiceField(
        label="Status of the repeated sessions",
        choices=[(status.value, status.label) for status in FIRST_STATUSES],
        widget=forms.RadioSelect,
    )
    queue_behind = forms.BooleanField(
        label="Hold behind whoever has it",
        required=False,
        help_text="For holds on dates that are taken.",
    )
    all_the_same = forms.BooleanField(
        label="Book anyway where a room is closed or somebody is off", required=False
    )

    def __init__(self, data=None, *, session: RecordingSession):
        status = session.status if session.status in FIRST_STATUSES else Status.HELD
        super().__init__(data, initial={"status": status})
        self.session = session
        self.paddings = {each.resource: each.padding for each in session.reservations.all()}
        self.repeated_by, self.dates = None, []

    def clean(self):
        cleaned = super().clean()
        if {name for name, _ in PARTS.values()} & self.errors.keys() and not cleaned.get("rule"):
            return cleaned
        try:
            self.repeated_by = self._rule(cleaned)
            self.dates = dates_by_rule(self.session, self.repeated_by, self.paddings.values())
        except RuleRefused as refusal:
            field = "rule" if cleaned.get("rule") else PARTS[refusal.part][0]
            self.add_error(field, refusal)
        return cleaned

    def _rule(self, cleaned: dict) -> Rule:
        if cleaned.get("rule"):
            return Rule.parse(cleaned["rule"])
        return Rule(
            cleaned["frequency"] or "WEEKLY",
            interval=cleaned["interval"] or 1,
            count=cleaned["count"],
            until=cleaned["until"] and end_of(cleaned["until"]),
            days=tuple(Day(each) for each in cleaned["days"]),
        )

    @property
    def how(self) -> dict:
        """How the dates are to be booked."""
        return {
            name: self.cleaned_data[name] for name in ("status", "queue_behind", "all_the_same")
        }
