"""Fields that several forms of the bookings ask with."""

from datetime import UTC, datetime

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

from sessions.bookings.padding import LONGEST_MINUTES
from sessions.periods import why_no_instant

EARLIEST, LATEST = datetime(1950, 1, 1, tzinfo=UTC), datetime(2150, 1, 1, tzinfo=UTC)


class StudioTimeField(forms.DateTimeField):
    """A day and a time on the studio's clock; the instant is given in UTC."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    default_error_messages = {"invalid": "Enter a day and a time, such as 2026-06-01 10:00."}
    default_validators = [
        MinValueValidator(EARLIEST, "Check the year: it is too early."),
        MaxValueValidator(LATEST, "Check the year: it is too late."),
    ]

    def to_python(self, value):
        try:
            at = super().to_python(value)
        except ValidationError as error:
            if error.code != "ambiguous_timezone":
                raise
            raise ValidationError(why_no_instant(error.params["datetime"])) from error
        return at and at.astimezone(UTC)


class MinutesField(forms.IntegerField):
    """Minutes of padding; empty is none."""

    def __init__(self, **kwargs):
        super().__init__(
            min_value=0,
            max_value=LONGEST_MINUTES,
            required=False,
            widget=forms.NumberInput(attrs={"class": "short", "step": 5, "inputmode": "numeric"}),
            error_messages={
                "min_value": "Enter 0 minutes or more.",
                "max_value": "At most 1440 minutes (a day). Book longer times as a session or block.",
                "invalid": "Enter whole minutes.",
            },
            **kwargs,
        )


class QueueBehindField(forms.BooleanField):
    def __init__(
        self,
        help_text="Where something is already taken, the hold becomes a second or third hold "
        "and moves up when the time is given up. Without the tick, it is refused.",
    ):
        super().__init__(label="Hold behind whoever has it", required=False, help_text=help_text)


class AllTheSameForm(forms.BaseForm):
    """A form that asks for one more tick once something is wanted outside its hours, and only then."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if "all_the_same" in self.data:
            self.ask_all_the_same()

    def ask_all_the_same(self) -> None:
        self.fields["all_the_same"] = forms.BooleanField(
            label="Book anyway",
            required=False,
            help_text="Although a room is closed or somebody is off then, as stated above.",
        )
