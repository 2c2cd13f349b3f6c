from collections.abc import Callable, Iterable
from datetime import UTC, datetime

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import Model

from gear.equipment.models import Unit, UnitState
from sessions.bookings.actions import check_period
from sessions.bookings.clashes import FIELDS
from sessions.bookings.models import Credit, RecordingSession, Room, Status
from sessions.bookings.periods import why_no_instant
from sessions.clients.models import Person, Project

EARLIEST, LATEST = datetime(1950, 1, 1, tzinfo=UTC), datetime(2150, 1, 1, tzinfo=UTC)
FIRST_STATUSES = (Status.INQUIRY, Status.HELD, Status.CONFIRMED)
NO_ROOM = "Nothing is reserved yet: choose at least one room."


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


class SessionForm(forms.ModelForm):
    """What a session is, when, and what it takes. Its status moves by steps of its own."""

    starts_at = StudioTimeField(label="Starts")
    ends_at = StudioTimeField(label="Ends", help_text="From then on the next session may start.")
    rooms = forms.ModelMultipleChoiceField(
        Room.objects.all(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": NO_ROOM},
    )
    people = forms.ModelMultipleChoiceField(
        Person.objects.select_related("client"),
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    units = forms.ModelMultipleChoiceField(
        Unit.objects.for_list(),
        label="Equipment",
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    queue_behind = forms.BooleanField(
        label="Hold in line behind whoever has it",
        required=False,
        help_text="For a hold on something that is taken: it stands as second or third hold and "
        "moves up when the time is given up. Otherwise taken time is refused.",
    )

    class Meta:
        model = RecordingSession
        fields = ["project", "title", "starts_at", "ends_at", "note", "left_to_do"]
        widgets = {
            "note": forms.Textarea(attrs={"rows": 3}),
            "left_to_do": forms.Textarea(attrs={"rows": 3}),
        }

    field_order = [
        "project",
        "title",
        "starts_at",
        "ends_at",
        "status",
        "rooms",
        "people",
        "units",
        "queue_behind",
        "note",
    ]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self._start_from_reservations()
        self._offer_projects()
        self._offer_resources()
        if not self.instance._state.adding and self.instance.status != Status.HELD:
            del self.fields["queue_behind"]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("starts_at") and cleaned.get("ends_at"):
            check_period(cleaned["starts_at"], cleaned["ends_at"])
        return cleaned

    def _start_from_reservations(self):
        if self.instance._state.adding:
            return
        taken = list(self.instance.reservations.all())
        for kind, field in FIELDS.items():
            keys = [getattr(reservation, f"{kind}_id") for reservation in taken]
            self.initial[field] = [key for key in keys if key]
        self.initial["queue_behind"] = any((each.rank or 1) > 1 for each in taken)

    def _offer_projects(self):
        chosen = self.instance.project_id
        projects = Project.objects.current_or(chosen).select_related("client")
        self.fields["project"].queryset = projects
        self.fields["project"].choices = [
            ("", "Choose a project"),
            *_grouped(projects.order_by("client__name", "name"), lambda each: str(each.client)),
        ]

    def _offer_resources(self):
        """Offer what can be booked, and keep what is chosen on the list whatever became of it.

        Any of the house's is valid here, so that the action can say why it cannot be booked.
        """
        self.fields["rooms"].choices = _choices(
            self._offered("rooms", lambda room: not room.retired)
        )
        self.fields["people"].choices = _grouped(
            self._offered("people", lambda person: person.bookable and not person.retired),
            lambda person: str(person.client or "Studio and freelancers"),
        )
        self.fields["units"].choices = _grouped(
            self._offered("units", lambda unit: unit.state == UnitState.IN_SERVICE),
            lambda unit: unit.model.get_category_display(),
        )

    def _offered(self, name: str, can_be_booked: Callable[[Model], bool]) -> list[Model]:
        chosen = {str(getattr(key, "pk", key)) for key in self[name].value() or []}
        return [
            resource
            for resource in self.fields[name].queryset
            if can_be_booked(resource) or str(resource.pk) in chosen
        ]


class NewSessionForm(SessionForm):
    status = forms.ChoiceField(
        choices=[(status.value, status.label) for status in FIRST_STATUSES],
        initial=Status.HELD,
        widget=forms.RadioSelect,
        help_text="An inquiry takes no time; a hold and a confirmed session do.",
    )


class CreditForm(forms.ModelForm):
    class Meta:
        model = Credit
        fields = ["person", "role", "instrument"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = Person.objects.current()


class RoomForm(forms.ModelForm):
    class Meta:
        model = Room
        fields = ["name", "note", "retired"]
        help_texts = {"retired": "Keeps its sessions on record; it takes no new bookings."}
        error_messages = {
            "name": {"unique": "There is a room of that name already: look under retired ones."}
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance._state.adding:
            del self.fields["retired"]


def _choices(things: Iterable[Model]) -> list[tuple]:
    return [(thing.pk, str(thing)) for thing in things]


def _grouped(things: Iterable[Model], group_of: Callable[[Model], str]) -> list[tuple]:
    """Choices under the names of their groups, both in the order in which they come."""
    groups: dict[str, list] = {}
    for thing in things:
        groups.setdefault(group_of(thing), []).append(thing)
    return [(name, _choices(members)) for name, members in groups.items()]
