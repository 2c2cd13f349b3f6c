from django import forms

from gear.equipment.forms import FaultForm
from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession
from sessions.setups.faults.actions import units_of


class SessionFaultForm(FaultForm):
    """Which unit of the session, and what is wrong with it."""

    unit = forms.ModelChoiceField(Unit.objects.for_list(), empty_label=None)
    field_order = ["unit", "channel", "description", "to_bench"]

    def __init__(self, *args, session: RecordingSession, **kwargs):
        super().__init__(*args, **kwargs)
        units = units_of(session)
        asked = str(self.initial.get("unit") or "")
        self.fields["unit"].choices = [
            ("", "Choose a unit"),
            *((unit.pk, self._called(unit)) for unit in units),
        ]
        knows = asked in {str(unit.pk) for unit in units}
        self.fields["description" if knows else "unit"].widget.attrs["autofocus"] = True

    def _called(self, unit: Unit) -> str:
        return f"{unit}" if unit.is_in_service else f"{unit}, {unit.standing}"
