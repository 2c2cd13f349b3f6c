"""Fields that several forms of the bookings ask with."""

from datetime import UTC, datetime

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

from sessions.bookings.padding import LONGEST_MINUTES
from sessions.periods import why_no_instant

EARLIEST, LATEST = datetime(1950, 1, 1, tzinfo=UTC), datetime(2150, 1, 1, tzinfo=UTC)


class StudioTimeField(forms.DateTimeField):
    """A day and a time on the studio's clock."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    default_error_messages = {"invalid": "Give a day and a time, such as 01/06/2026 10:00."}
    default_validators = [
        MinValueValidator(EARLIEST, "Look at the year: it is too early."),
        MaxValueValidator(LATEST, "Look at the year: it is too late."),
    ]

    def to_python(self, value):
        try:
            return super().to_python(value)
        except ValidationError as error:
            if error.code != "ambiguous_timezone":
                raise
            raise ValidationError(why_no_instant(error.params["datetime"])) from error


class MinutesField(forms.IntegerField):
    """Minutes of padding; empty is none."""

    def __init__(self, **kwargs):
        super().__init__(
            min_value=0,
            max_value=LONGEST_MINUTES,
            required=False,
            widget=forms.NumberInput(attrs={"class": "short", "step": 5, "inputmode": "numeric"}),
            error_messages={
                "min_value": "Minutes are not less than none.",
                "max_value": "At most a day: 1440 minutes. Book what is longer as time of its own.",
                "invalid": "Give whole minutes.",
            },
            **kwargs,
        )


class QueueBehindField(forms.BooleanField):
    def __init__(self):
        super().__init__(
            label="Hold in line behind whoever has it",
            required=False,
            help_text="For a hold on something that is taken: it stands as second or third hold and "
            "moves up when the time is given up. Otherwise taken time is refused.",
        )


class AllTheSameForm(forms.BaseForm):
    """A form that asks for one more tick once something is wanted outside its hours, and only then."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if "all_the_same" in self.data:
            self.ask_all_the_same()

    def ask_all_the_same(self) -> None:
        self.fields["all_the_same"] = forms.BooleanField(
            label="Book all the same",
            required=False,
            help_text="Although a room is closed or somebody off work then, as it says above.",
        )
