from django import forms

from sessions.bookings.filters import DAY

EVERYTHING = {"rooms": "All rooms", "people": "Everybody", "equipment": "All reserved gear"}


class ScheduleForm(forms.Form):
    """Which day to turn to, and whether only one room, person or unit is shown."""

    day = forms.DateField(label="Day", **DAY)
    only = forms.IntegerField(label="Show", required=False, widget=forms.Select)

    def offer(self, show: str, resources: list) -> None:
        """Put the resources on the list; a key that is not on it shows nothing."""
        self.fields["only"].widget.choices = [
            ("", EVERYTHING[show]),
            *((resource.pk, str(resource)) for resource in resources),
        ]
