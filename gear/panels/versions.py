"""What changed from one version of a model's panel to the next."""

from collections.abc import Sequence
from dataclasses import dataclass

from gear.audio.values import plain_number
from gear.panels.models import Control, Panel


@dataclass(frozen=True)
class ControlChange:
    """One control that is new, gone or other than before; `details` says each fact in words."""

    control: Control
    what: str
    details: tuple[str, ...] = ()


@dataclass(frozen=True)
class PanelVersion:
    panel: Panel
    controls: tuple[Control, ...]
    changes: tuple[ControlChange, ...]


def versions_of(model) -> list[PanelVersion]:
    """All versions of the model's panel, the newest first. Two queries."""
    before, found = None, []
    for panel in model.panels.prefetch_related("controls").order_by("version"):
        controls = tuple(panel.controls.all())
        changes = () if before is None else tuple(changes_between(before, controls))
        found.insert(0, PanelVersion(panel, controls, changes))
        before = controls
    return found


def changes_between(before: Sequence[Control], after: Sequence[Control]) -> list[ControlChange]:
    """In the order of the later panel, then what is gone. A control is known by its key."""
    old = {control.key: control for control in before}
    new = {control.key: control for control in after}
    moved = _moved([key for key in old if key in new], [key for key in new if key in old])
    changes = []
    for key, control in new.items():
        if key not in old:
            changes.append(ControlChange(control, "added"))
            continue
        details = _differences(old[key], control)
        if key in moved:
            details.append("moved")
        if details:
            changes.append(ControlChange(control, "changed", tuple(details)))
    gone = [control for key, control in old.items() if key not in new]
    return changes + [ControlChange(control, "removed") for control in gone]


def _moved(before: list[str], after: list[str]) -> set[str]:
    """Keys whose place among those that stayed is another one."""
    return {new for old, new in zip(before, after, strict=True) if old != new}


def _differences(before: Control, after: Control) -> list[str]:
    old, new = _facts(before), _facts(after)
    return [
        f"{name}: {old[name] or 'none'} → {new[name] or 'none'}"
        for name in new
        if old[name] != new[name]
    ]


def _facts(control: Control) -> dict[str, str]:
    return {
        "label": control.label,
        "group": control.group,
        "kind": control.get_kind_display(),
        "unit": control.unit,
        "marks": control.marks_text(),
        "scale": control.get_scale_display(),
        "meaning": control.get_meaning_display(),
        "band": "" if control.band is None else str(control.band),
        "for": "all channels" if control.serves_all else "one channel",
        "tolerance": f"{plain_number(float(control.tolerance_degrees))}°",
    }
