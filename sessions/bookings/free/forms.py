from datetime import UTC, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import DecimalValidator
from django.db.models import Model
from django.utils import timezone

from gear.equipment.models import GearModel, Unit, UnitState
from sessions.bookings.actions import LONGEST
from sessions.bookings.fields import MinutesField, StudioTimeField
from sessions.bookings.padding import Padding
from sessions.bookings.resource_forms import SeveralField, grouped
from sessions.clients.models import Person, Project
from sessions.rooms.models import Room

LONGEST_WINDOW = timedelta(days=366)
LONGEST_HOURS = LONGEST // timedelta(hours=1)
USUAL_WINDOW = timedelta(days=14)


class FreeTimeForm(forms.Form):
    """What must be free together, for how long, and when it is to be looked for."""

    hours = forms.DecimalField(
        label="Length, hours",
        min_value=0.25,
        max_value=LONGEST_HOURS,
        initial=4,
        validators=[DecimalValidator(5, 2)],
        widget=forms.NumberInput(attrs={"class": "short", "step": "0.25"}),
        error_messages={
            "invalid": "Enter hours as a number, such as 4 or 2.5.",
            "min_value": "A session is at least a quarter of an hour.",
            "max_value": f"A session is at most {LONGEST.days} days long, {LONGEST_HOURS} hours.",
        },
    )
    since = StudioTimeField(label="From")
    until = StudioTimeField(label="Until", help_text="The session has ended by then.")
    rooms = SeveralField(Room.objects.current())
    any_room = forms.BooleanField(
        label="Any one of these rooms will do", required=False, help_text="Unticked: all of them."
    )
    people = SeveralField(Person.objects.bookable())
    any_person = forms.BooleanField(
        label="Any one of these people will do", required=False, help_text="Unticked: all of them."
    )
    units = SeveralField(Unit.objects.in_service().for_list(), label="Gear")
    models = SeveralField(
        GearModel.objects.filter(units__state=UnitState.IN_SERVICE).distinct(),
        label="Any unit of these models",
        help_text="One unit of each ticked model, in addition to the gear above.",
    )
    load_in_minutes = MinutesField(label="Load-in, minutes before", help_text="For the rooms.")
    teardown_minutes = MinutesField(label="Teardown, minutes after", help_text="For the rooms.")
    count = forms.IntegerField(
        label="How many to list",
        min_value=1,
        max_value=50,
        initial=10,
        widget=forms.NumberInput(attrs={"class": "short"}),
    )
    project = forms.ModelChoiceField(
        Project.objects.current(),
        label="For the project",
        required=False,
        empty_label="Not chosen",
    )

    def __init__(self, data=None):
        """Starts from the next full hour."""
        since = timezone.localtime(timezone.now() + timedelta(hours=1))
        since = since.replace(minute=0, second=0, microsecond=0).astimezone(UTC)
        super().__init__(data, initial={"since": since, "until": since + USUAL_WINDOW})
        self.fields["units"].choices = grouped(
            self.fields["units"].queryset, lambda unit: unit.model.get_category_display()
        )

    def clean(self):
        cleaned = super().clean()
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until:
            self._check_window(since, until)
        asked = [self[name].value() for name in ("rooms", "people", "units", "models")]
        if not any(asked):
            self.add_error("rooms", "Choose at least one room, person or unit.")
        return cleaned

    def _check_window(self, since, until) -> None:
        if until <= since:
            self.add_error("until", "The end must be after the start.")
        elif until - since > LONGEST_WINDOW:
            self.add_error("until", "Search a year at most.")
        elif (length := self.length) and until - since < length:
            self.add_error("until", "The session does not fit into this period.")

    @property
    def length(self) -> timedelta | None:
        hours = self.cleaned_data.get("hours")
        return timedelta(hours=float(hours)) if hours else None

    @property
    def padding(self) -> dict[Model, Padding]:
        padding = Padding(
            self.cleaned_data["load_in_minutes"] or 0, self.cleaned_data["teardown_minutes"] or 0
        )
        return dict.fromkeys(self.cleaned_data["rooms"], padding)

    def wanted(self) -> list[list[Model]]:
        """Groups of which one each must be free. A unit named by itself stands for no other.

        Raises ValidationError where a model has no other unit in service. One query.
        """
        named = self.cleaned_data
        groups = [
            *_groups(named["rooms"], named["any_room"]),
            *_groups(named["people"], named["any_person"]),
            *_groups(named["units"], False),
        ]
        others = self.fields["units"].queryset.filter(model__in=named["models"])
        others = [unit for unit in others.order_by("asset_tag") if unit not in named["units"]]
        for model in named["models"]:
            of_model = [unit for unit in others if unit.model_id == model.pk]
            if not of_model:
                raise ValidationError({"models": f"No further unit of {model} is in service."})
            groups.append(of_model)
        return groups


def _groups(resources, any_of_them: bool) -> list[list[Model]]:
    if any_of_them and resources:
        return [list(resources)]
    return [[resource] for resource in resources]
