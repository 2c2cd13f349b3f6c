from django import forms

from sessions.clients.models import Person
from sessions.rooms.models import Room


class FeedForm(forms.Form):
    """Whose sessions: any room or person of the house, or only the person that the user is."""

    of = forms.ChoiceField(
        label="Sessions of",
        help_text="Everybody who has the address reads them, without signing in.",
        error_messages={"required": "Choose a room or a person."},
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
        self.can_choose = bool(groups)
        self.fields["of"].choices = [("", "Choose a room or a person"), *groups]

    def chosen(self) -> dict:
        """The room or the person, under its kind."""
        kind, _, key = self.cleaned_data["of"].partition("-")
        return {kind: self.offered[kind].get(pk=key)}
