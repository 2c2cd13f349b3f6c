from collections.abc import Iterable, Sequence
from typing import NamedTuple

from django import forms
from django.db.models import Model

from sessions.bookings.models import Reservation
from sessions.bookings.stand_ins.fitting import Candidate, first_choices, stand_ins_for

WITHOUT, LATER = "without", ""
GONE = "That is not free any more, or is out of service by now. Choose again."


class Option(NamedTuple):
    """One line of a choice; a candidate says more of itself than its name."""

    value: str
    label: str
    is_chosen: bool
    candidate: Candidate | None = None


class Choice(NamedTuple):
    """What could stand in for one reservation: none to choose from where a manager has to."""

    need: Reservation
    name: str
    options: tuple[Option, ...]
    errors: Sequence[str]


class StandInsForm(forms.Form):
    """For each thing that a session cannot have, what stands in; what fits is chosen already."""

    def __init__(
        self,
        data=None,
        *,
        needs: Sequence[Reservation],
        but_for: Iterable[Model] = (),
        settles: bool = True,
    ):
        """`needs` are loaded as `stand_ins_for` wants them; whoever does not settle bookings
        chooses other units, and nobody else's time."""
        super().__init__(data)
        self.needs = needs
        self.open_to = [each for each in needs if settles or each.unit_id]
        self.candidates = stand_ins_for(self.open_to, but_for=but_for)
        first = first_choices(self.open_to, self.candidates)
        for need in self.open_to:
            chosen = first.get(need.pk)
            self.fields[_name(need)] = forms.ChoiceField(
                choices=self._choices(need),
                required=False,
                initial=str(chosen.pk) if chosen else LATER,
                label=f"{need.resource}, {need.session}",
                error_messages={"invalid_choice": GONE},
            )

    def _choices(self, need: Reservation) -> list[tuple[str, str]]:
        return [
            *((str(each.resource.pk), str(each.resource)) for each in self.candidates[need.pk]),
            *([] if need.room_id else [(WITHOUT, "Do without")]),
            (LATER, "Leave it open"),
        ]

    def choices(self) -> list[Choice]:
        """The needs in order, each with what may be chosen for it."""
        return [
            Choice(need, _name(need), tuple(self._options(need)), self.errors.get(_name(need), ()))
            if need in self.open_to
            else Choice(need, "", (), ())
            for need in self.needs
        ]

    def _options(self, need: Reservation) -> Iterable[Option]:
        field = self[_name(need)]
        candidates = {str(each.resource.pk): each for each in self.candidates[need.pk]}
        for value, label in field.field.choices:
            is_chosen = value == str(field.value() or LATER)
            yield Option(value, label, is_chosen, candidates.get(value))

    def chosen(self) -> dict[int, Model | None]:
        """By the key of each reservation that is solved what stands in; None does without."""
        found: dict[int, Model | None] = {}
        for need in self.open_to:
            value = self.cleaned_data[_name(need)]
            candidates = {str(each.resource.pk): each for each in self.candidates[need.pk]}
            if value == WITHOUT:
                found[need.pk] = None
            elif value in candidates:
                found[need.pk] = candidates[value].resource
        return found


def _name(need: Reservation) -> str:
    return f"stand_in_{need.pk}"
