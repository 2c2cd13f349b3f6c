from django import forms

from sessions.bookings.actions import check_not_over, check_period
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.fields import AllTheSameForm, MinutesField, QueueBehindField, StudioTimeField
from sessions.bookings.models import FIRST_STATUSES, RecordingSession, Status
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.bookings.padding import Padding
from sessions.bookings.resource_forms import ResourcesForm, grouped
from sessions.desk.booking.known import KNOWN, known_clients, known_projects
from sessions.desk.booking.project_forms import NewProjectFields
from sessions.editing.picking import PickOne, PickSeveral
from sessions.rooms.models import Room

NO_ROOM = "Nothing is reserved yet: choose at least one room."


class SessionForm(AllTheSameForm, ResourcesForm, NewProjectFields, forms.ModelForm):
    """What a session is, when, and what it takes. Its status moves by steps of its own."""

    starts_at = StudioTimeField(label="Starts")
    ends_at = StudioTimeField(label="Ends")
    rooms = forms.ModelMultipleChoiceField(
        Room.objects.all(), widget=PickSeveral, error_messages={"required": NO_ROOM}
    )
    queue_behind = QueueBehindField(help_text="A second or later hold, if taken.")

    class Meta:
        model = RecordingSession
        fields = ["project", "title", "starts_at", "ends_at", "lockout", "note", "left_to_do"]
        widgets = {
            "project": PickOne(asks=KNOWN["projects"], new="New project"),
            "note": forms.Textarea(attrs={"rows": 2}),
            "left_to_do": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {"lockout": "Kept overnight; hours are planned within it."}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not self.instance._state.adding:
            reservations = list(self.instance.reservations.all())
            self.start_from(reservations)
            self.initial["queue_behind"] = any((each.rank or 1) > 1 for each in reservations)
        self._offer_projects()
        self.offer_resources()
        if not self.instance._state.adding and self.instance.status != Status.HELD:
            del self.fields["queue_behind"]

    @property
    def wanted(self) -> dict:
        """What is to be booked or changed, of a form in which nothing is wrong."""
        return self.cleaned_data.copy()

    @property
    def around_rooms(self) -> Padding:
        """What a room has around it that is newly taken."""
        return Padding()

    def refuse(self, refusal: BookingRefused) -> None:
        """Show why it cannot be booked beside the fields; for time outside hours, ask for the tick."""
        self.add_error(None, refusal)
        if isinstance(refusal, OutsideHoursError):
            self.ask_all_the_same()

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("starts_at") and cleaned.get("ends_at"):
            check_period(cleaned["starts_at"], cleaned["ends_at"])
            if self.instance._state.adding or "ends_at" in self.changed_data:
                check_not_over(cleaned.get("status", self.instance.status), cleaned["ends_at"])
        return cleaned

    def _offer_projects(self):
        """The newest and those worked on last are listed; any current one, or the session's own, is
        valid."""
        projects, listed = known_projects(self.instance.project_id, self["project"].value())
        self.fields["project"].queryset = projects
        self.fields["project"].choices = [
            ("", "Choose a project"),
            *grouped(listed, lambda each: str(each.client)),
        ]
        self.fields["client"].widget.known = known_clients()


class NewSessionForm(SessionForm):
    status = forms.ChoiceField(
        choices=[(status.value, status.label) for status in FIRST_STATUSES],
        initial=Status.HELD,
        widget=forms.RadioSelect,
    )
    load_in_minutes = MinutesField(label="Load-in, minutes")
    teardown_minutes = MinutesField(label="Teardown, minutes")

    @property
    def wanted(self) -> dict:
        wanted = super().wanted
        del wanted["load_in_minutes"], wanted["teardown_minutes"]
        return wanted | {"padding": dict.fromkeys(wanted["rooms"], self.around_rooms)}

    @property
    def around_rooms(self) -> Padding:
        asked = self.cleaned_data
        return Padding(asked.get("load_in_minutes") or 0, asked.get("teardown_minutes") or 0)
