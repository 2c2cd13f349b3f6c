"""The studio's equipment, filled into the inventory."""

from django.utils.text import slugify
from simple_history.utils import bulk_create_with_history

from gear.audio.marks import marks_from_text
from gear.equipment.models import GearModel, Unit, UnitState
from gear.panels.models import Control, Panel
from studio.demo.microphones import MICROPHONES
from studio.demo.outboard import OUTBOARD
from studio.demo.patch_bay import make_patch_bays
from studio.demo.told import M


def fill_equipment() -> None:
    """Makes all models, panels, units, the patch bays and their tie lines."""
    for row in [*MICROPHONES, *OUTBOARD]:
        _make_model(row)
    supplied = Unit.objects.get(asset_tag="MV-01")
    supplied.supply = Unit.objects.get(asset_tag="SU-01")
    supplied.save()
    to_the_bench = Unit.objects.get(asset_tag="CO-02")
    to_the_bench.state = UnitState.ON_THE_BENCH
    to_the_bench.save()
    make_patch_bays()


def _make_model(row: M) -> None:
    model = GearModel.objects.create(
        maker=row.maker, name=row.name, category=row.category, **row.facts
    )
    if row.controls:
        panel = Panel.objects.create(model=model)
        controls = [
            Control(
                panel=panel,
                position=position,
                key=slugify(control.label),
                label=control.label,
                group=control.group,
                kind=control.kind,
                scale=control.scale,
                unit=control.unit,
                meaning=control.meaning,
                band=control.band,
                serves_all=control.serves_all,
                marks=[
                    {"value": mark.value, "angle": mark.angle, "label": mark.label}
                    for mark in marks_from_text(control.marks, control.kind, control.unit)
                ],
            )
            for position, control in enumerate(row.controls, 1)
        ]
        bulk_create_with_history(controls, Control)
    for tag in row.tags:
        Unit.objects.create(
            model=model,
            asset_tag=tag,
            serial_number=f"{tag[:2]}{5200 + int(tag[3:]) * 23}",
            home_room="Control room" if row.rack.startswith(("Rack", "Desk")) else "Rope Floor",
            rack=row.rack,
        )
