"""The chains of an imported sheet as revisions that are never saved: our own rules read them."""

from dataclasses import fields

from django.db.models import Model

from sessions.recall.imported.chains import decimal_of, placement_facts_of
from sessions.recall.imported.shown.things import Things, moment, related
from sessions.setups.models import (
    Chain,
    ChainGroup,
    Path,
    Placement,
    Revision,
    Setup,
    Source,
    SourceFacts,
    Stage,
)
from sessions.setups.models.snapshot import StageFacts

_LEVELS = (*Revision.SOURCE_FACTS, *Revision.TONE_FACTS)
_READINGS = (
    "tone_reading_dbu",
    "reading_out_dbu",
    "planned_reduction_low_db",
    "planned_reduction_high_db",
)


def revision_told(data: dict, things: Things) -> Revision:
    """One chain of the file, loaded as `with_stages` would."""
    setup = things.setup(data["setup"], things.session(data["session"]))
    revision = Revision(
        pk=data["place"],
        chain=_chain(data, setup, things),
        number=data["revision"],
        fixed_at=moment(data["fixed_at"]),
        note=data["note"],
        readings_from=data["levels"]["readings_from_revision"],
        format=_format(data.get("recorded_as")),
        grouped=data.get("group") or {},
        **{name: decimal_of(data["levels"][name]) for name in _LEVELS},
    )
    revision.__dict__["source_facts"] = _source(data, things)
    revision.__dict__["photos_in_force"] = []
    placed = data["placement"] and Placement(
        **_known(Placement, placement_facts_of(data["placement"]))
    )
    # Without one, too: else the database would be asked for that of a revision with this number.
    Revision.placement.related.set_cached_value(revision, placed)
    related(revision, stages=[_stage(each, revision, things) for each in data["stages"]])
    return revision


def _known(model: type[Model], facts: dict) -> dict:
    """Those that the model has a field for."""
    names = {field.name for field in model._meta.concrete_fields}
    return {name: value for name, value in facts.items() if name in names}


def _chain(data: dict, setup: Setup, things: Things) -> Chain:
    key = things.key("chain", setup.pk, data["source"], data["track"])
    source = Source(pk=key, setup=setup, name=data["source"])
    chain = Chain(
        pk=key,
        setup=setup,
        source=source,
        track=data["track"],
        destination_input=data["destination_input"],
        summed_at=data.get("summed_at", ""),
        taken_by=data.get("taken_by", ""),
    )
    if group := data.get("group"):
        chain.group = ChainGroup(
            pk=things.key("group", setup.pk, group["name"]),
            setup=setup,
            **{name: value for name, value in group.items() if name != "seat"},
        )
        chain.seat = group["seat"]
    parts = data["parts"] if "parts" in data else [data["part"]] if data.get("part") else []
    related(chain, parts=[things.part(name) for name in parts])
    things.chains[f"{chain}"] = chain
    return chain


def _format(recorded_as: dict | None) -> dict:
    """Empty for the first version: then the song's own stands."""
    if recorded_as is None:
        return {}
    facts = dict(recorded_as)
    return {"sample_rate": facts.pop("sample_rate_hz"), **facts}


def _source(data: dict, things: Things) -> SourceFacts:
    facts = data.get("source_facts")
    if facts is None:
        return SourceFacts(data["source"])
    amplifier = facts["amplifier"]
    renamed = {
        "name": data["source"],
        "amplifier": amplifier and things.facts(things.unit(amplifier), None),
        "panel": tuple(facts["controls"]),
        "played_from": facts["reamplified_from"],
        "also": tuple(facts["also_taken_by"]),
        "not_yet_set": tuple(facts.get("not_yet_set", ())),
    }
    known = {field.name for field in fields(SourceFacts)}
    return SourceFacts(**{name: value for name, value in facts.items() if name in known} | renamed)


def _stage(data: dict, revision: Revision, things: Things) -> Stage:
    channel = data["unit"].get("channel")
    unit = things.unit(
        data["unit"],
        place=(revision.pk, data["position"]),
        standing=data.get("standing_today", ""),
    )
    stage = Stage(
        pk=things.key("stage", revision.pk, data["position"]),
        revision=revision,
        position=data["position"],
        path=Path.PRINTED if data["path"] == "printed" else Path.MONITOR_ONLY,
        unit=unit,
        channel=channel,
        panel=things.panel(data["panel"], unit),
        settings=data["settings"],
        not_yet_set=data.get("not_yet_set", []),
        note=data["note"],
        **{name: decimal_of(data[name]) for name in _READINGS},
        cord_cm=data.get("cord_out_cm"),
    )
    jacks = map(things.jack, (data["patched_in_at"], data["patched_out_at"]))
    stage.__dict__["facts"] = StageFacts(things.facts(unit, channel), *jacks)
    stage.__dict__["photographed"] = frozenset(data.get("photographed", ()))
    return stage
