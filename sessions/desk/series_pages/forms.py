from collections.abc import Collection

from django import forms

from gear.editing.figures import FigureField
from sessions.bookings.fields import QueueBehindField
from sessions.bookings.models import Status
from sessions.bookings.series.rest.changes import Change, Move, Verb
from sessions.rooms.models import Weekday

MOST_DAYS = 366
NO_HOURS = "Enter hours in quarters, such as 1.5."
WHERE_TO = "Enter by how many days or hours, or choose a weekday or a time."
BOTH = "Enter either days and hours, or a weekday and a time: not both."


class RestForm(forms.Form):
    """From which day on a series is changed, and how; `change` is that once the form is valid.

    `statuses` are those of the sessions to come.
    """

    since = forms.DateField(
        label="From",
        help_text="The dates before that stay as they are.",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    direction = forms.ChoiceField(
        label="Later or earlier",
        choices=[("later", "Later"), ("earlier", "Earlier")],
        initial="later",
        required=False,
        widget=forms.RadioSelect,
    )
    days = forms.IntegerField(
        label="By days",
        min_value=0,
        max_value=MOST_DAYS,
        required=False,
        widget=forms.NumberInput(attrs={"class": "short"}),
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value"), f"Enter a whole number from 0 to {MOST_DAYS}."
        ),
    )
    hours = FigureField(
        unit="h",
        label="By hours",
        min_value=0,
        max_value=24,
        required=False,
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), NO_HOURS),
    )
    weekday = forms.TypedChoiceField(
        label="Or to a weekday",
        choices=[("", "The same weekday"), *Weekday.choices],
        coerce=int,
        empty_value=None,
        required=False,
        help_text="Of the same week, Monday to Sunday.",
    )
    starts = forms.TimeField(
        label="Starts at",
        required=False,
        help_text="On the studio’s clock. The length stays.",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    queue_behind = QueueBehindField()
    all_the_same = forms.BooleanField(
        label="Book anyway where a room is closed or somebody is off", required=False
    )

    def __init__(self, data=None, *, verb: Verb, statuses: Collection[str], **kwargs):
        super().__init__(data, **kwargs)
        self.verb, self.change = verb, None
        if verb != Verb.MOVE:
            for name in ("direction", "days", "hours", "weekday", "starts", "all_the_same"):
                del self.fields[name]
        if verb != Verb.HOLD and (verb != Verb.MOVE or Status.HELD not in statuses):
            del self.fields["queue_behind"]

    def clean_hours(self):
        hours = self.cleaned_data["hours"]
        if hours and hours * 4 % 1:
            raise forms.ValidationError(NO_HOURS)
        return hours

    def clean(self):
        cleaned = super().clean()
        if not self.errors:
            move = self._move(cleaned) if self.verb == Verb.MOVE else None
            ticks = {name: bool(cleaned.get(name)) for name in ("queue_behind", "all_the_same")}
            self.change = Change(self.verb, move, **ticks)
        return cleaned

    def _move(self, cleaned: dict) -> Move:
        by = int(cleaned["days"] or 0), int((cleaned["hours"] or 0) * 60)
        to = cleaned["weekday"], cleaned["starts"]
        if any(by) == (to != (None, None)):
            raise forms.ValidationError(BOTH if any(by) else WHERE_TO)
        sign = -1 if cleaned["direction"] == "earlier" else 1
        return Move(sign * by[0], sign * by[1], *to)
