from django import forms

from gear.equipment.models import UnitState
from sessions.bookings.actions import check_period
from sessions.bookings.blocks.actions import LIMIT
from sessions.bookings.fields import StudioTimeField
from sessions.bookings.models import Block
from sessions.bookings.resource_forms import ResourcesForm


class BlockForm(ResourcesForm, forms.ModelForm):
    """What is not to be had, when and why."""

    unit_states = (UnitState.IN_SERVICE, UnitState.ON_THE_BENCH)
    starts_at = StudioTimeField(label="Starts")
    ends_at = StudioTimeField(label="Ends", help_text="It may be booked again from then.")

    class Meta:
        model = Block
        fields = ["kind", "title", "starts_at", "ends_at", "note"]
        widgets = {"kind": forms.RadioSelect, "note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {"title": "Such as “Piano tuning”, or “Summer leave”. The schedule shows it."}

    field_order = ["kind", "title", "starts_at", "ends_at", "rooms", "people", "units", "note"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["kind"].choices = self.fields["kind"].choices[1:]  # without "none chosen"
        if not self.instance._state.adding:
            self.start_from(self.instance.reservations.all())
        self.offer_resources()

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("starts_at") and cleaned.get("ends_at"):
            check_period(cleaned["starts_at"], cleaned["ends_at"], *LIMIT)
        return cleaned
