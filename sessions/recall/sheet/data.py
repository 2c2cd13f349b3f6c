"""The recall sheet as data, by the schema beside this file (recall.schema.json).

Plain numbers, words and lists: all that it takes to set the chains up again, here or in a house
that has never seen this database. Every name is the one that the paper prints.
"""

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from decimal import Decimal
from pathlib import PurePath

from gear.patchbay.wiring import Jack
from sessions.bookings.models import RecordingSession
from sessions.recall.sheet.contents import ChainSheet, ChosenTake, RecallSheet
from sessions.recall.sheet.headphones import HeadphoneSheet
from sessions.recall.sheet.patch_data import patch_data
from sessions.recall.sheet.schema import FORMAT, VERSION
from sessions.setups.comparing.comparison import Comparison
from sessions.setups.controls.curves import Curve
from sessions.setups.levels.plan import LevelPlan, StagePlan
from sessions.setups.models import Path as StagePath
from sessions.setups.models import Placement, Revision, SourceFacts, Stage
from sessions.setups.models.recording_format import RecordingFormat
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.patching.connections import Connection
from sessions.setups.photos.changes import ShownPhoto
from sessions.setups.signal_path.units import StageSheet
from sessions.songs.models import Song
from sessions.takes.comp.lines import Comp

MEDIA_TYPE = "application/json"

PATH_WORDS = {StagePath.PRINTED: "printed", StagePath.MONITOR_ONLY: "monitor only"}

_STAGE_LEVELS = (
    "tone_reading_dbu",
    "reading_out_dbu",
    "planned_reduction_low_db",
    "planned_reduction_high_db",
)


def recall_data(sheet: RecallSheet, *, studio: str, address: str) -> dict:
    """The sheet as JSON can hold it; no query. address: the page where the recall stands."""
    places = {chain.revision.pk: place for place, chain in enumerate(sheet.chains, 1)}
    return {
        "format": FORMAT,
        "version": VERSION,
        "studio": studio,
        "address": address,
        "song": _song(sheet.song),
        "part": sheet.part.name if sheet.part else None,
        "takes": [_take(chosen, places) for chosen in sheet.takes],
        "comps": [_comp(comp) for comp in sheet.comps],
        "chains": [_chain(chain, place, sheet.song) for place, chain in enumerate(sheet.chains, 1)],
        "headphones": [_headphones(heard) for heard in sheet.headphones],
        "photos": [_photo(shown) for shown in sheet.photos],
    }


def recall_json(sheet: RecallSheet, *, studio: str, address: str) -> bytes:
    """The same as a UTF-8 file: the same bytes for the same sheet. Not indented, which takes Python
    ten times as long."""
    data = recall_data(sheet, studio=studio, address=address)
    return json.dumps(data, ensure_ascii=False, allow_nan=False).encode()


def _song(song: Song) -> dict:
    project = song.project
    return {
        "title": song.title,
        "artist": project.artist,
        "project": project.name,
        "client": project.client.name,
        "key": song.key,
        "meter": song.meter,
        "tempo_map": song.tempo_map,
        "sample_rate_hz": project.sample_rate,
        "bit_depth": project.bit_depth,
        "full_scale_dbu": _number(project.full_scale_dbu),
        "isrc": song.isrc,
        "iswc": song.iswc,
        "note": song.note,
    }


def _take(chosen: ChosenTake, places: dict[int, int]) -> dict:
    part, take = chosen.part, chosen.part.take
    return {
        "part": part.part.name,
        "performer": part.part.performer.name if part.part.performer else "",
        "number": take.number,
        "kind": take.kind,
        "punched_into": take.into.number if take.into else None,
        "punch_in": take.punch_in,
        "punch_out": take.punch_out,
        "started_at": _moment(take.started_at),
        "ended_at": _moment(take.ended_at),
        "mark": part.mark,
        "grade": part.grade,
        "circled": part.circled,
        "chosen_because": chosen.why,
        "session": _session(take.session),
        "chains": [places[through.revision_id] for through in chosen.through],
        "changed_while_rolling": [
            {"chain": places[through.revision_id], "since": _moment(through.since)}
            for through in chosen.through
            if through.since
        ],
        "note": take.note,
        "note_on_part": part.note,
    }


def _comp(comp: Comp) -> dict:
    return {
        "part": comp.part.name,
        "lines": [
            {
                "section": each.section.name,
                "line": each.line.text if each.line else None,
                "begins": each.begins,
                "ends": each.ends,
                "take": each.take.number if each.take else None,
                "punched_into": each.take.into.number if each.take and each.take.into else None,
            }
            for each in comp.lines
        ],
    }


def _moment(at: datetime | None) -> str | None:
    return at.isoformat() if at else None


def _session(session: RecordingSession) -> dict:
    return {"title": session.title, "starts_at": session.starts_at.isoformat()}


def _chain(sheet: ChainSheet, place: int, song: Song) -> dict:
    revision, chain = sheet.revision, sheet.revision.chain
    return {
        "place": place,
        "source": revision.source_facts.name,
        "source_facts": _source(revision.source_facts),
        "parts": [part.name for part in chain.parts.all() if part.song_id == song.pk],
        "track": chain.track,
        "destination_input": chain.destination_input,
        "taken_by": chain.taken_by,
        "summed_at": chain.summed_at,
        "group": revision.group_facts and revision.group_facts.to_json(),
        "setup": chain.setup.name,
        "session": _session(chain.setup.session),
        "revision": revision.number,
        "fixed_at": _moment(revision.fixed_at),
        "other_revisions": list(sheet.other_numbers),
        "facts_kept": revision.is_fixed,
        "recorded_as": _recorded_as(revision.recording_format),
        "note": revision.note,
        "levels": _levels(revision),
        "level_plan": _level_plan(sheet.levels),
        "placement": _placement(sheet.placement),
        "stages": [_stage(each) for each in sheet.stages],
        "connections": [_connection(made) for made in sheet.connections],
        "patch_list": patch_data(sheet.patching.patch_list),
        "changes": _changes(sheet.changes) if sheet.changes else None,
        "photos": [_photo(shown) for shown in sheet.photos],
    }


def _source(facts: SourceFacts) -> dict:
    return {
        "performer": facts.performer,
        "place": facts.place,
        "instrument": facts.instrument,
        "tuning_hz": facts.tuning_hz,
        "tuning": facts.tuning,
        "amplifier": facts.amplifier and (_unit(facts.amplifier) | {"supply": None}),
        "own_amplifier": facts.own_amplifier,
        "controls": list(facts.panel),
        "settings": facts.settings or {},
        "not_yet_set": list(facts.not_yet_set),
        "reamplified_from": facts.played_from,
        "also_taken_by": list(facts.also),
        "note": facts.note,
    }


def _recorded_as(format: RecordingFormat) -> dict:
    return {
        "sample_rate_hz": format.sample_rate,
        "bit_depth": format.bit_depth,
        "full_scale_dbu": format.full_scale_dbu,
        "clock": format.clock,
        "click": format.click,
    }


def _levels(revision: Revision) -> dict:
    return {
        **_facts(revision, Revision.SOURCE_FACTS + Revision.TONE_FACTS),
        "readings_from_revision": revision.readings_from,
    }


def _level_plan(plan: LevelPlan) -> dict:
    return {
        "source": plan.source or "",
        "spl_at_microphone_db": _tidy(plan.spl_db),
        "converter_dbu": _tidy(plan.converter_dbu),
        "converter_dbfs": _tidy(plan.converter_dbfs),
        "stages": [_planned(stage) for stage in plan.stages],
        "missing": list(plan.missing),
    }


def _planned(plan: StagePlan) -> dict:
    verdict = plan.reduction and plan.reduction.verdict
    return {
        "stage": plan.stage.position,
        "in_spl_db": _tidy(plan.in_spl_db),
        "in_dbu": _tidy(plan.in_dbu),
        "out_dbu": _tidy(plan.out_dbu),
        "headroom_db": _tidy(plan.headroom_db),
        "clips": plan.clips,
        "read_dbu": _tidy(plan.read_dbu),
        "gain_reduction": verdict.sentence if verdict else "",
    }


def _changes(changes: Comparison) -> dict:
    return {
        "since_revision": changes.before.number,
        "rows": [
            {"where": row.where, "what": row.what, "before": row.before, "after": row.after}
            for row in changes.rows
        ],
    }


def _headphones(heard: HeadphoneSheet) -> dict:
    return {
        "setup": heard.setup.name,
        "session": _session(heard.setup.session),
        "takes": [{"part": each.part.name, "number": each.take.number} for each in heard.takes],
        "kept": True,
        "mixes": [mix.to_json() for mix in heard.mixes],
    }


def _placement(placement: Placement | None) -> dict | None:
    return _facts(placement, Placement.FACTS) if placement else None


def _stage(sheet: StageSheet) -> dict:
    stage = sheet.stage
    return {
        "position": stage.position,
        "path": PATH_WORDS[stage.path],
        "unit": _unit(stage.facts.unit)
        | {"channel": stage.channel, "supply": _unit(stage.facts.unit.supply)},
        "patched_in_at": _point(stage.facts.patch_in),
        "patched_out_at": _point(stage.facts.patch_out),
        "cord_out_cm": stage.cord_cm,
        "panel": _panel(stage),
        "settings": stage.settings,
        "photographed": sorted(stage.photographed),
        "not_yet_set": list(stage.not_yet_set),
        "note": stage.note,
        **_facts(stage, _STAGE_LEVELS),
        "curves": [_curve(curve) for curve in sheet.curves],
        "standing_today": sheet.standing_today,
        "changed_since": [
            {"fact": fact.label, "then": fact.then, "today": fact.today}
            for fact in sheet.changed_since
        ],
    }


def _photo(shown: ShownPhoto) -> dict:
    photo = shown.photo
    return {
        "file": PurePath(photo.file.name).name,
        "sha256": photo.sha256,
        "subject": photo.subject,
        "about": photo.about,
        "unit": photo.unit.asset_tag if photo.unit else None,
        "channel": photo.channel,
        "setup": photo.setup.name,
        "caption": photo.caption,
        "taken_at": _moment(photo.taken_at),
        "earlier_revision": shown.earlier,
        "changed_since": list(shown.changed),
    }


def _curve(curve: Curve) -> dict:
    return {"name": curve.name, "words": curve.words, "notes": list(curve.notes)}


def _unit(unit: UnitFacts | None) -> dict | None:
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
    return _facts(jack, ("bay", "row", "column", "label", "level", "side")) if jack else None


def _connection(made: Connection) -> dict:
    """By the stages' positions; without a destination stage it ends at the destination input."""
    return {
        "from_stage": made.source.position,
        "to_stage": made.destination.position if made.destination else None,
        "to_input": made.destination_input,
    }


def _facts(thing, names: Sequence[str]) -> dict:
    return {name: _number(getattr(thing, name)) for name in names}


def _number(value):
    return float(value) if isinstance(value, Decimal) else value


def _tidy(figure: float | None) -> float | None:
    """A reckoned figure, to a hundredth."""
    return None if figure is None else round(figure, 2)
