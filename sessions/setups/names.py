"""What things were called when a revision was fixed, so that it prints the same in ten years.

A jack is relabelled, a unit gets a new tag, a supply goes with another microphone: the old sheet
says what stood there. Facts that matter to safety (what a microphone needs) stay today's.
"""

from django.db.models.query import ModelIterable

from gear.equipment.models import GearModel, Unit


def names_of(stage) -> dict:
    """What a sheet of this stage is about to print, as plain values. The stage is loaded `for_list`."""
    return {
        "unit": _unit_names(stage.unit),
        "supply": _unit_names(stage.unit.supply) if stage.unit.supply else None,
        "patch_in": _point_names(stage.patch_in) if stage.patch_in else None,
        "patch_out": _point_names(stage.patch_out) if stage.patch_out else None,
    }


def show_names(stage) -> None:
    """Let the loaded stage, in memory only, go by the names that were kept for it."""
    kept = stage.names
    if not kept:
        return
    _name_unit(stage.unit, kept["unit"])
    stage.unit.supply = _named_supply(stage.unit.supply, kept["supply"])
    for point, names in ((stage.patch_in, kept["patch_in"]), (stage.patch_out, kept["patch_out"])):
        if point:
            point.bay.name = names["bay"]
            point.row, point.column = names["row"], names["column"]
            point.label = names["label"]


class NamesAsKept(ModelIterable):
    """Yields stages that go by their kept names."""

    def __iter__(self):
        for stage in super().__iter__():
            show_names(stage)
            yield stage


def _unit_names(unit: Unit) -> dict:
    return {
        "id": unit.pk,
        "maker": unit.model.maker,
        "model": unit.model.name,
        "asset_tag": unit.asset_tag,
        "serial_number": unit.serial_number,
    }


def _point_names(point) -> dict:
    return {
        "bay": point.bay.name,
        "row": point.row,
        "column": point.column,
        "label": point.label,
    }


def _name_unit(unit: Unit, names: dict) -> None:
    unit.model.maker, unit.model.name = names["maker"], names["model"]
    unit.asset_tag, unit.serial_number = names["asset_tag"], names["serial_number"]


def _named_supply(supply: Unit | None, names: dict | None) -> Unit | None:
    if names is None:
        return None
    if supply is None or supply.pk != names["id"]:
        supply = Unit(pk=names["id"], model=GearModel(category="supply"))
    _name_unit(supply, names)
    return supply
