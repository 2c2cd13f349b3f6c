from django import forms

from sessions.bookings.actions import check_not_over, check_period
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.fields import AllTheSameForm, MinutesField, QueueBehindField, StudioTimeField
from sessions.bookings.models import FIRST_STATUSES, Credit, RecordingSession, Status
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.bookings.padding import Padding
from sessions.bookings.resource_forms import ResourcesForm, grouped
from sessions.clients.models import Person, Project
from sessions.rooms.models import Room

NO_ROOM = "Nothing is reserved yet: choose at least one room."


class SessionForm(AllTheSameForm, ResourcesForm, forms.ModelForm):
    """What a session is, when, and what it takes. Its status moves by steps of its own."""

    starts_at = StudioTimeField(label="Starts")
    ends_at = StudioTimeField(label="Ends", help_text="The next session may start from then.")
    rooms = forms.ModelMultipleChoiceField(
        Room.objects.all(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": NO_ROOM},
    )
    queue_behind = QueueBehindField()

    class Meta:
        model = RecordingSession
        fields = ["project", "title", "starts_at", "ends_at", "lockout", "note", "left_to_do"]
        widgets = {
            "note": forms.Textarea(attrs={"rows": 3}),
            "left_to_do": forms.Textarea(attrs={"rows": 3}),
        }

    field_order = [
        "project",
        "title",
        "starts_at",
        "ends_at",
        "lockout",
        "status",
        "rooms",
        "load_in_minutes",
        "teardown_minutes",
        "people",
        "units",
        "queue_behind",
        "note",
    ]

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
        chosen = self.instance.project_id
        projects = Project.objects.current_or(chosen).select_related("client")
        self.fields["project"].queryset = projects
        self.fields["project"].choices = [
            ("", "Choose a project"),
            *grouped(projects.order_by("client__name", "name"), lambda each: str(each.client)),
        ]


class NewSessionForm(SessionForm):
    status = forms.ChoiceField(
        choices=[(status.value, status.label) for status in FIRST_STATUSES],
        initial=Status.HELD,
        widget=forms.RadioSelect,
        help_text="An enquiry reserves nothing; a hold and a confirmed session do.",
    )
    load_in_minutes = MinutesField(
        label="Load-in, minutes before",
        help_text="The rooms are reserved for it too. Times of single rooms, people and units are "
        "set on the session’s page once it is booked. Gear is reserved for its warm-up "
        "time.",
    )
    teardown_minutes = MinutesField(label="Teardown, minutes after")

    def clean(self):
        cleaned = super().clean()
        padding = Padding(
            cleaned.pop("load_in_minutes", None) or 0, cleaned.pop("teardown_minutes", None) or 0
        )
        cleaned["padding"] = dict.fromkeys(cleaned.get("rooms", ()), padding)
        return cleaned


class CreditForm(forms.ModelForm):
    class Meta:
        model = Credit
        fields = ["person", "role", "instrument"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = Person.objects.current()
