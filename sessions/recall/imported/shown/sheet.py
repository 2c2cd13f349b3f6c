"""An imported sheet as our own are shown: one set of templates, drawings and rules for both.

What the sending house calculated, and what it said of its own day, is shown as it said it; curves are
drawn, and cautions given, by our own rules from the facts in the file.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sessions.recall.imported.shown.chains import revision_told
from sessions.recall.imported.shown.patching import patch_told, patching_told
from sessions.recall.imported.shown.people import contact_told, people_told
from sessions.recall.imported.shown.photos import photos_told
from sessions.recall.imported.shown.takes import comps_told, heard_told, song_told, takes_told
from sessions.recall.imported.shown.things import Things, moment
from sessions.recall.models import ImportedSheet
from sessions.recall.sheet.contents import ChainSheet, ChosenTake, RecallSheet, put_together
from sessions.recall.sound.data import measured_of
from sessions.setups.chains.summary import completeness
from sessions.setups.comparing.comparison import ChangeRow
from sessions.setups.controls.curves import Curve
from sessions.setups.levels.plan import LevelPlan, StagePlan, level_plan
from sessions.setups.models import Revision
from sessions.setups.models.snapshot import ChangedSince
from sessions.setups.patching.connections import Connection, connections
from sessions.setups.patching.patch_list import Patching
from sessions.setups.patching.plugs import CordKey
from sessions.setups.signal_path.spine import spine
from sessions.setups.signal_path.units import StageSheet, control_groups, stage_sheet

NO_LEVELS = "No levels or curves can be calculated from the figures in this file."


@dataclass(frozen=True, kw_only=True)
class StageTold(StageSheet):
    """What was said of the unit on the day when the file was written."""

    told: dict

    @property
    def standing_today(self) -> str:
        return self.told.get("standing_today", "")

    @property
    def changed_since(self) -> list[ChangedSince]:
        return [
            ChangedSince(change["fact"], change["then"], change["today"])
            for change in self.told.get("changed_since", ())
        ]


@dataclass(frozen=True, kw_only=True)
class ChainTold(ChainSheet):
    facts_kept: bool
    logged_there_by: str

    @property
    def logged_by(self) -> str:
        return self.logged_there_by

    @property
    def changed_format(self) -> str:
        if self.facts_kept:
            return super().changed_format
        return "Models’ facts and the format are as of the day of the file: no snapshot was kept there."


@dataclass(frozen=True)
class ChangesTold:
    """What differs from an earlier revision, as the file says it."""

    before: Revision
    rows: tuple[ChangeRow, ...]


def sheet_told(imported: ImportedSheet) -> RecallSheet:
    """No query."""
    data = imported.data
    song = song_told(data["song"])
    things = Things(song.project, song)
    told = [(chain, revision_told(chain, things)) for chain in data["chains"]]
    revisions = {revision.pk: revision for _, revision in told}
    takes = takes_told(data["takes"], revisions, things)
    patchings = [
        patching_told(chain.get("patch_list"), revision, things) for chain, revision in told
    ]
    lists = [
        (revision, each.patch_list) for (_, revision), each in zip(told, patchings, strict=True)
    ]
    patch = patch_told(data.get("patching"), lists, things)
    chains = tuple(
        _chain(chain, revision, patching, takes, patch.numbers)
        for (chain, revision), patching in zip(told, patchings, strict=True)
    )
    return put_together(
        song,
        things.part(data["part"]) if data.get("part") else None,
        takes=takes,
        chains=chains,
        comps=comps_told(data.get("comps", ()), things),
        patch=patch,
        headphones=heard_told(data.get("headphones", ()), things),
        photos=photos_told(data.get("photos", ())),
        people=people_told(data.get("sessions", ()), things),
        contact=contact_told(data.get("contact")),
    )


def facts_told(imported: ImportedSheet) -> list[tuple[str, str]]:
    """Of the file itself."""
    data = imported.data
    return [
        ("From", imported.studio),
        ("File", f"{imported.file_name}, version {data['version']} of the format"),
        ("Its page there", data["address"]),
        *([("Part", data["part"])] if data.get("part") else []),
    ]


def _chain(
    data: dict,
    revision: Revision,
    patching: Patching,
    takes: Iterable[ChosenTake],
    numbers: Mapping[CordKey, int],
) -> ChainTold:
    levels = _levels(data.get("level_plan"), revision)
    stages = tuple(
        _stage(plan, of_stage) for plan, of_stage in zip(levels.stages, data["stages"], strict=True)
    )
    made = _connections(data, revision)
    leads = {each["position"]: each.get("returns", "") for each in data["stages"]}
    ours = [each for each in takes if any(t.revision is revision for t in each.through)]
    rolling = {
        each.part.take.pk: through
        for each in ours
        for through in each.through
        if through.revision is revision and through.since
    }
    return ChainTold(
        facts_kept=data.get("facts_kept", False),
        logged_there_by=data.get("logged_by", ""),
        since_reading=_changes(data["levels"].get("changed_since_readings"), revision),
        revision=revision,
        levels=levels,
        connections=made,
        placement=getattr(revision, "placement", None),
        stages=stages,
        spine=spine(stages, made, patching.patch_list, numbers, leads),
        photos=photos_told(data.get("photos", ())),
        completeness=completeness(revision),
        number=revision.pk,
        takes=tuple(each.part for each in ours),
        while_rolling=tuple(rolling.values()),
        other_numbers=tuple(data.get("other_revisions", ())),
        changes=_changes(data.get("changes"), revision),
        patching=patching,
        measured=measured_of(data.get("measurements", {}), moment),
    )


def _connections(data: dict, revision: Revision) -> tuple[Connection, ...]:
    """As the file has them, as far as it names units of the chain. The first version had no patch list
    to go with them: of that they are ours."""
    stages = {stage.position: stage for stage in revision.stages.all()}
    if "patch_list" not in data:
        return tuple(connections(revision))
    return tuple(
        Connection(stages[each["from_stage"]], stages.get(each["to_stage"]), each["to_input"])
        for each in data["connections"]
        if each["from_stage"] in stages and (each["to_stage"] in stages or not each["to_stage"])
    )


def _levels(told: dict | None, revision: Revision) -> LevelPlan:
    """By our own reckoning, with what the file says in its place."""
    try:
        plan = level_plan(revision)
    except (ArithmeticError, ValueError):
        plan = _without_levels(revision)
    if told is None:
        return plan
    by_stage = {each["stage"]: each for each in told["stages"]}
    return replace(
        plan,
        source=told["source"] or None,
        spl_db=_said(told["spl_at_microphone_db"], plan.spl_db),
        converter_dbu=_said(told["converter_dbu"], plan.converter_dbu),
        stages=tuple(_planned(each, by_stage.get(each.stage.position)) for each in plan.stages),
        missing=(*told["missing"], *(each for each in plan.missing if each == NO_LEVELS)),
    )


def _without_levels(revision: Revision) -> LevelPlan:
    plans = (
        StagePlan(stage, None, None, None, None, None, None, ()) for stage in revision.stages.all()
    )
    return LevelPlan(None, None, tuple(plans), revision.recording_format, None, None, (NO_LEVELS,))


def _planned(plan: StagePlan, told: dict | None) -> StagePlan:
    if told is None:
        return plan
    figures = ("in_dbu", "in_spl_db", "out_dbu", "headroom_db", "read_dbu")
    said, verdict = told["gain_reduction"], plan.reduction and plan.reduction.verdict
    more = (said,) if said and not (verdict and verdict.sentence == said) else ()
    said_there = {name: _said(told[name], getattr(plan, name)) for name in figures}
    return replace(plan, **said_there, notes=(*plan.notes, *more))


def _said(told: float | None, ours: float | None) -> float | None:
    """What the file says. It says it to a hundredth: where that is ours, ours has the further places."""
    return ours if ours is not None and round(ours, 2) == told else told


def _stage(plan: StagePlan, told: dict) -> StageTold:
    try:
        sheet = stage_sheet(plan)
    except (ArithmeticError, ValueError):
        sheet = _without_curves(plan)
    drawn = {curve.name: curve for curve in sheet.curves}
    curves = [
        Curve(
            each["name"],
            each["words"],
            drawn[each["name"]].plot if each["name"] in drawn else None,
            tuple(each["notes"]),
        )
        for each in told.get("curves", ())
    ]
    return StageTold(
        stage=sheet.stage,
        groups=sheet.groups,
        curves=tuple(curves) if "curves" in told else sheet.curves,
        plan=sheet.plan,
        told=told,
    )


def _without_curves(plan: StagePlan) -> StageSheet:
    stage = plan.stage
    settings = [(control, stage.setting(control)) for control in stage.controls()]
    groups = control_groups(settings, stage.photographed, stage.not_yet_set)
    return StageSheet(stage, groups, (Curve("Curves", "", None, (NO_LEVELS,)),), plan)


def _changes(told: dict | None, revision: Revision) -> ChangesTold | None:
    if told is None:
        return None
    before = Revision(chain=revision.chain, number=told["since_revision"])
    names = ("where", "what", "before", "after")
    rows = (ChangeRow(*(row[name] for name in names)) for row in told["rows"])
    return ChangesTold(before, tuple(rows))
