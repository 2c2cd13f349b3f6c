from django import forms

from gear.equipment.models import UnitState
from sessions.bookings.actions import check_period
from sessions.bookings.blocks.actions import LIMIT
from sessions.bookings.fields import StudioTimeField
from sessions.bookings.models import Block, BlockKind
from sessions.bookings.resource_forms import ResourcesForm

AWAY = "Away"  # what everybody may know of who is ill


class BlockForm(ResourcesForm, forms.ModelForm):
    """What is not to be had, when and why."""

    unit_states = (UnitState.IN_SERVICE, UnitState.ON_THE_BENCH)
    starts_at = StudioTimeField(label="Starts")
    ends_at = StudioTimeField(label="Ends", help_text="It may be booked again from then.")

    class Meta:
        model = Block
        fields = ["kind", "ill", "title", "starts_at", "ends_at", "note"]
        widgets = {"kind": forms.RadioSelect, "note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "title": "Such as “Piano tuning”, or “Summer leave”. The schedule and calendars show it; "
            "of somebody ill they say “Away”."
        }

    field_order = [
        "kind",
        "ill",
        "title",
        "starts_at",
        "ends_at",
        "rooms",
        "people",
        "units",
        "note",
    ]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self["ill"].value():
            self.fields["title"].required = False
        self.fields["kind"].choices = self.fields["kind"].choices[1:]  # without "none chosen"
        if not self.instance._state.adding:
            self.start_from(self.instance.reservations.all())
        self.offer_resources()

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("ill"):
            if cleaned.get("kind") != BlockKind.LEAVE:
                self.add_error("ill", "Only of leave. Choose leave, or leave this unticked.")
            cleaned["title"] = AWAY
        if cleaned.get("starts_at") and cleaned.get("ends_at"):
            check_period(cleaned["starts_at"], cleaned["ends_at"], *LIMIT)
        return cleaned
