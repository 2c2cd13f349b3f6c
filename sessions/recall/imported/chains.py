"""The chains of an imported sheet, as a rebuild wants them."""

from dataclasses import fields
from decimal import Decimal

from gear.panels.models import Control
from sessions.recall.sheet.wanted import WantedChain, WantedStage, source_words
from sessions.setups.models import GroupFacts, SourceFacts


def chains_of_data(data: dict) -> list[WantedChain]:
    """What there is to set up again, from data that was read."""
    return [_chain(chain) for chain in data["chains"]]


def _chain(chain: dict) -> WantedChain:
    return WantedChain(
        number=chain["place"],
        source=chain["source"][:80],
        track=chain["track"][:60],
        destination_input=chain["destination_input"][:40],
        stages=tuple(_stage(stage) for stage in chain["stages"]),
        revision_number=chain["revision"],
        parts_in_words=chain.get("part") or ", ".join(chain.get("parts", [])),
        placement=placement_facts_of(chain["placement"]) if chain["placement"] else {},
        source_words=_source_words(chain),
        tone_hz=decimal_of(chain["levels"]["tone_hz"]),
        tone_dbu=decimal_of(chain["levels"]["tone_dbu"]),
        readings_from=chain["levels"]["readings_from_revision"],
        group=_group(chain.get("group")),
    )


def _source_words(chain: dict) -> tuple[tuple[str, str], ...]:
    """None before version 4."""
    if not (data := chain.get("source_facts")):
        return ()
    unit = data["amplifier"]
    amplifier = unit and f"{unit['model']['maker']} {unit['model']['name']} ({unit['asset_tag']})"
    facts = SourceFacts(
        name=chain["source"],
        performer=data["performer"],
        instrument=data["instrument"],
        tuning_hz=data["tuning_hz"],
        tuning=data["tuning"],
        own_amplifier=amplifier or data["own_amplifier"],
        panel=tuple(data["controls"]),
        settings=data["settings"],
        played_from=data["reamplified_from"],
        also=tuple(data["also_taken_by"]),
        note=data["note"],
    )
    return source_words(facts)


def _stage(stage: dict) -> WantedStage:
    unit, panel = stage["unit"], stage["panel"]
    points = [("in", stage["patched_in_at"]), ("out", stage["patched_out_at"])]
    return WantedStage(
        position=stage["position"],
        path="printed" if stage["path"] == "printed" else "monitor",
        model=f"{unit['model']['maker']} {unit['model']['name']}",
        tag=unit["asset_tag"],
        serial_number=unit["serial_number"],
        category=unit["model"]["category"],
        panel_version=panel["version"] if panel else None,
        controls=tuple(control_of(each) for each in panel["controls"]) if panel else (),
        settings=stage["settings"],
        note=stage["note"],
        tone_reading_dbu=decimal_of(stage["tone_reading_dbu"]),
        channel=unit.get("channel"),
        photographed=frozenset(stage.get("photographed", ())),
        not_yet_set=frozenset(stage.get("not_yet_set", ())),
        patched=", ".join(f"{way} at {_point(point)}" for way, point in points if point),
        model_facts=unit["model"] | _inputs(unit),
    )


def _inputs(unit: dict) -> dict:
    """How many it has side by side, and how many of them one switch gives 48 V. Before version 6 the
    file does not say: as many as the channel that was used."""
    channels = max(unit.get("channels", 1), unit.get("channel") or 1)
    return {"channels": channels, "phantom_bank": unit.get("inputs_per_phantom_switch", 1)}


def _group(facts: dict | None) -> GroupFacts | None:
    """As `ChainGroup` has room for it."""
    if not facts:
        return None
    short = {"name": facts["name"][:60]}
    return GroupFacts(**{field.name: facts.get(field.name) for field in fields(GroupFacts)} | short)


def control_of(facts: dict) -> Control:
    """As it is drawn and read; not saved."""
    return Control(**facts)


def _point(point: dict) -> str:
    return f"{point['bay']} {point['row']}{point['column']} {point['label']}".strip()


def placement_facts_of(placement: dict) -> dict:
    """As `Placement` has room for it: tenths, and short words."""
    figures = {
        name: value if value is None else round(decimal_of(value), 1)
        for name, value in placement.items()
        if name.endswith(("_cm", "_deg"))
    }
    short = {name: placement.get(name, "")[:40] for name in ("pattern", "stand", "cable")}
    return placement | figures | short


def decimal_of(value: float | None) -> Decimal | None:
    return None if value is None else round(Decimal(str(value)), 2)
