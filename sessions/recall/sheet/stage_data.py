"""A unit of a chain as data: what it is, how it is patched and set, and what its curves show."""

from dataclasses import asdict

from gear.patchbay.wiring import Jack
from sessions.recall.sheet.plain_data import facts_of
from sessions.setups.controls.curves import Curve
from sessions.setups.models import Path as StagePath
from sessions.setups.models import Stage
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.signal_path.units import StageSheet

PATH_WORDS = {StagePath.PRINTED: "printed", StagePath.MONITOR_ONLY: "monitor only"}

_LEVELS = (
    "tone_reading_dbu",
    "reading_out_dbu",
    "planned_reduction_low_db",
    "planned_reduction_high_db",
)


def stage_data(sheet: StageSheet) -> dict:
    stage = sheet.stage
    return {
        "position": stage.position,
        "path": PATH_WORDS[stage.path],
        "unit": unit_data(stage.facts.unit)
        | {
            "channel": stage.channel,
            "supply": unit_data(stage.facts.unit.supply),
            "channels": stage.unit.model.channels,
            "inputs_per_phantom_switch": stage.unit.model.phantom_bank,
        },
        "patched_in_at": _point(stage.facts.patch_in),
        "patched_out_at": _point(stage.facts.patch_out),
        "cord_out_cm": stage.cord_cm,
        "panel": _panel(stage),
        "settings": stage.settings,
        "readings": sorted(control.key for control in stage.controls() if control.is_meter),
        "photographed": sorted(stage.photographed),
        "not_yet_set": list(stage.not_yet_set),
        "note": stage.note,
        **facts_of(stage, _LEVELS),
        "curves": [_curve(curve) for curve in sheet.curves],
        "standing_today": sheet.standing_today,
        "changed_since": [
            {"fact": fact.label, "then": fact.then, "today": fact.today}
            for fact in sheet.changed_since
        ],
    }


def unit_data(unit: UnitFacts | None) -> dict | None:
    if unit is None:
        return None
    return {
        "asset_tag": unit.asset_tag,
        "serial_number": unit.serial_number,
        "model": asdict(unit.model),
    }


def _panel(stage: Stage) -> dict | None:
    if stage.panel is None:
        return None
    return {
        "version": stage.panel.version,
        "controls": [control.facts() for control in stage.controls()],
    }


def _point(jack: Jack | None) -> dict | None:
    return facts_of(jack, ("bay", "row", "column", "label", "level", "side")) if jack else None


def _curve(curve: Curve) -> dict:
    return {"name": curve.name, "words": curve.words, "notes": list(curve.notes)}
