from gear.equipment.models import Unit, UnitState
from sessions.bookings.models import GearSet
from sessions.bookings.resource_forms import SeveralField, grouped
from sessions.editing.retiring import RetirableForm


class GearSetForm(RetirableForm):
    units = SeveralField(Unit.objects.for_choices(), label="Gear")

    class Meta:
        model = GearSet
        fields = ["name", "units", "note", "retired"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        units = self.fields["units"]
        units.required = True
        units.error_messages["required"] = "Choose at least one unit."
        chosen = {str(getattr(each, "pk", each)) for each in self["units"].value() or ()}
        units.choices = grouped(
            [u for u in units.queryset if u.state != UnitState.RETIRED or str(u.pk) in chosen],
            lambda unit: unit.model.get_category_display(),
        )
