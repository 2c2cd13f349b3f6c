"""A chain as data: source, levels, placement, units, and how they are connected."""

from collections.abc import Mapping

from sessions.recall.sheet.contents import ChainSheet
from sessions.recall.sheet.patch_data import patch_data
from sessions.recall.sheet.photo_data import Pictures, photo_data
from sessions.recall.sheet.plain_data import facts_of, moment, session_data, tidy
from sessions.recall.sheet.stage_data import stage_data, unit_data
from sessions.recall.sound.data import measurements_data
from sessions.setups.comparing.comparison import Comparison
from sessions.setups.levels.plan import LevelPlan, StagePlan
from sessions.setups.models import Placement, Revision, SourceFacts
from sessions.setups.models.recording_format import RecordingFormat
from sessions.setups.patching.connections import Connection
from sessions.setups.patching.plugs import CordKey
from sessions.setups.signal_path.levels import tone_entry
from sessions.songs.models import Song


def chain_data(
    sheet: ChainSheet,
    place: int,
    song: Song,
    *,
    cord_numbers: Mapping[CordKey, int],
    pictures: Pictures,
) -> dict:
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
        "session": session_data(chain.setup.session),
        "revision": revision.number,
        "logged_by": sheet.logged_by,
        "fixed_at": moment(revision.fixed_at),
        "other_revisions": list(sheet.other_numbers),
        "facts_kept": revision.is_fixed,
        "recorded_as": _recorded_as(revision.recording_format),
        "note": revision.note,
        "levels": _levels(sheet),
        "level_plan": _level_plan(sheet.levels),
        "placement": _placement(sheet.placement),
        "stages": [stage_data(each.sheet) | {"returns": each.leads} for each in sheet.spine.places],
        "connections": [_connection(made) for made in sheet.connections],
        "patch_list": patch_data(sheet.patching.patch_list, cord_numbers),
        "changes": _changes(sheet.changes) if sheet.changes else None,
        "photos": [photo_data(shown, pictures) for shown in sheet.photos],
        **({"measurements": measurements_data(sheet.measured)} if sheet.measured else {}),
    }


def _source(facts: SourceFacts) -> dict:
    return {
        "performer": facts.performer,
        "place": facts.place,
        "instrument": facts.instrument,
        "tuning_hz": facts.tuning_hz,
        "tuning": facts.tuning,
        "amplifier": facts.amplifier and (unit_data(facts.amplifier) | {"supply": None}),
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


def _levels(sheet: ChainSheet) -> dict:
    revision, entry = sheet.revision, tone_entry(sheet.revision)
    since = sheet.since_reading
    return {
        **facts_of(revision, Revision.SOURCE_FACTS + Revision.TONE_FACTS),
        "tone_into_stage": entry.position if entry else None,
        "readings_from_revision": revision.readings_from,
        "changed_since_readings": _changes(since) if since else None,
    }


def _level_plan(plan: LevelPlan) -> dict:
    return {
        "source": plan.source or "",
        "spl_at_microphone_db": tidy(plan.spl_db),
        "converter_dbu": tidy(plan.converter_dbu),
        "converter_dbfs": tidy(plan.converter_dbfs),
        "stages": [_planned(stage) for stage in plan.stages],
        "missing": list(plan.missing),
    }


def _planned(plan: StagePlan) -> dict:
    verdict = plan.reduction and plan.reduction.verdict
    return {
        "stage": plan.stage.position,
        "in_spl_db": tidy(plan.in_spl_db),
        "in_dbu": tidy(plan.in_dbu),
        "out_dbu": tidy(plan.out_dbu),
        "headroom_db": tidy(plan.headroom_db),
        "clips": plan.clips,
        "read_dbu": tidy(plan.read_dbu),
        "gain_reduction": verdict.sentence if verdict else "",
    }


def _placement(placement: Placement | None) -> dict | None:
    return facts_of(placement, Placement.FACTS) if placement else None


def _changes(changes: Comparison) -> dict:
    return {
        "since_revision": changes.before.number,
        "rows": [
            {"where": row.where, "what": row.what, "before": row.before, "after": row.after}
            for row in changes.rows
        ],
    }


def _connection(made: Connection) -> dict:
    """By the stages' positions; without a destination stage it ends at the destination input."""
    return {
        "from_stage": made.source.position,
        "to_stage": made.destination.position if made.destination else None,
        "to_input": made.destination_input,
    }
