from datetime import datetime, timedelta

from django import forms
from django.utils import timezone

from sessions.clients.models import Person
from sessions.periods import midnight
from sessions.rooms.models import Room

LONGEST = timedelta(days=5 * 365)
HOUSE = "house"


class FeedForm(forms.Form):
    """Whose sessions: any room or person of the house or all of it, or only the person that the user
    is."""

    of = forms.ChoiceField(
        label="Sessions of",
        help_text="Anyone who has the address can read them without signing in.",
        error_messages={"required": "Choose a room, a person or the whole house."},
    )
    until = forms.DateField(
        label="Last day",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="The address stops working after this day. Empty: it works until it is revoked.",
    )

    def __init__(self, *args, user, **kwargs):
        super().__init__(*args, **kwargs)
        any_feed = user.has_perm("studio_sessions.make_any_feed")
        people = Person.objects.current()
        people = people.filter(bookable=True) | people.filter(user=user)
        self.offered = {
            "room": Room.objects.current() if any_feed else Room.objects.none(),
            "person": people if any_feed else people.filter(user=user),
        }
        groups = [
            (word, [(f"{kind}-{each.pk}", str(each)) for each in self.offered[kind]])
            for word, kind in (("Rooms", "room"), ("People", "person"))
        ]
        groups = [group for group in groups if group[1]]
        if any_feed:
            groups.insert(0, (HOUSE, "The whole house"))
        self.can_choose = bool(groups)
        self.fields["of"].choices = [("", "Choose"), *groups]

    def clean_until(self) -> datetime | None:
        """The moment at which that day is over."""
        last_day = self.cleaned_data["until"]
        if last_day is None:
            return None
        today = timezone.localdate()
        if not today <= last_day <= today + LONGEST:
            raise forms.ValidationError("Choose a day from today on, at most five years ahead.")
        return midnight(last_day + timedelta(days=1))

    def chosen(self) -> dict:
        """The room or the person, under its kind; or that it is all of them."""
        if self.cleaned_data["of"] == HOUSE:
            return {"whole_house": True}
        kind, _, key = self.cleaned_data["of"].partition("-")
        return {kind: self.offered[kind].get(pk=key)}
