"""What another unit takes over in the place of one, and what it can't."""

from dataclasses import dataclass

from gear.equipment.models import Category, Unit
from gear.panels.models import Control, Panel
from gear.patchbay.models import Side
from sessions.setups.chains.fields import PointNames
from sessions.setups.controls.matching import match_settings
from sessions.setups.models import Stage
from sessions.setups.models.settings import is_copied
from sessions.setups.patching.inherited import inherited_jack


@dataclass(frozen=True)
class Swap:
    """`facts` of the stage as it is to be, `targets` the new control for each old one that is
    carried over; `lost` says in words what is not."""

    facts: dict
    settings: dict[str, float]
    targets: dict[str, str]
    lost: tuple[str, ...]


def swap_of(
    stage: Stage, unit: Unit, *, panel: Panel | None, channel: int | None, names: PointNames
) -> Swap:
    """The place's own line stays; a jack that is wired to the unit before gives way to the one that
    the new unit is wired to. Settings go over by what their controls are for."""
    logged = [
        (control, value)
        for control in stage.controls()
        if is_copied(control) and (value := stage.setting(control)) is not None
    ]
    matches = match_settings(logged, controls_of(panel))
    carried = [match for match in matches if not match.problem]
    points, lost = {}, [match.problem for match in matches if match.problem]
    for name, side in (("patch_in", Side.RETURN), ("patch_out", Side.SEND)):
        wired = names.only_wired(unit, side, channel)
        points[name] = inherited_jack(getattr(stage, name), unit_id=stage.unit_id, wired=wired)
        if getattr(stage, name) and not points[name]:
            lost.append(f"{getattr(stage, name)}: wired to {stage.unit.asset_tag}.")
    if pattern := pattern_lost(stage, unit):
        lost.append(f"Pattern “{pattern}” of the placement: log the new one’s.")
    if stage.note:
        lost.append(f"Note: {stage.note}")
    return Swap(
        {"unit": unit, "channel": channel, "panel": panel, "note": "", **points},
        {match.target.key: match.value for match in carried},
        {match.wanted.key: match.target.key for match in carried},
        tuple(lost),
    )


def pattern_lost(stage: Stage, unit: Unit) -> str:
    """What the placement says of a microphone, where the other is no such one."""
    is_microphone = stage.unit.model.category == Category.MICROPHONE
    placement = getattr(stage.revision, "placement", None)
    if not (is_microphone and placement) or unit.model_id == stage.unit.model_id:
        return ""
    return placement.pattern


def controls_of(panel: Panel | None) -> list[Control]:
    return list(panel.controls.all()) if panel else []
