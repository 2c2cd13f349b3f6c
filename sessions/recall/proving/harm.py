"""Why turns are not to be made by our record: what they would drive beyond its maximum."""

from collections.abc import Callable, Mapping, Sequence
from copy import copy

from gear.audio.proving.explaining.proposal import Move
from gear.audio.values import format_value
from gear.panels.models import Meaning
from sessions.recall.proving.feeding import limit_of, measured_through
from sessions.recall.proving.knobs import place_of
from sessions.setups.controls.gains import summed_gains
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.plan import LevelPlan, level_plan
from sessions.setups.models import Revision, Stage

#: What rounding a setting may come to.
_LEAST_DB = 0.05


def harm_in(
    revision: Revision, stages: Sequence[Stage], fed_dbu: float | None = None
) -> Callable[[Sequence[Move]], str]:
    """Judges turns, for `explain`: in a sentence, empty where nothing speaks against them.

    stages: all of the chain in order, with the panels and settings that the record has of them now. It
    counts with the source as loud as it is logged, with what was read at the units, and with the test
    file as it is fed in at fed_dbu. A level that is too high already may go down.
    """
    before = level_plan(revision, list(stages))

    def harm(moves: Sequence[Move]) -> str:
        turned = _turned(stages, moves)
        return (
            _driven(before, level_plan(revision, turned))
            or _above_reading(before, turned)
            or _by_file(stages, turned, before.full_scale_dbu, fed_dbu)
        )

    return harm


def _turned(stages: Sequence[Stage], moves: Sequence[Move]) -> list[Stage]:
    """What was read before the turn says nothing of what is after it."""
    settings: dict[int, Mapping[str, float]] = {stage.position: stage.settings for stage in stages}
    for move in moves:
        position, key = place_of(move.key)
        settings[position] = {**settings[position], key: move.to_value}
    first = min(place_of(move.key)[0] for move in moves)
    turned = [copy(stage) for stage in stages]
    for stage in turned:
        stage.settings = settings[stage.position]
        if stage.position >= first:
            meters = {control.key for control in stage.controls_for(Meaning.LEVEL_READING)}
            stage.settings = {k: v for k, v in stage.settings.items() if k not in meters}
            stage.reading_out_dbu = None
    return turned


def _driven(before: LevelPlan, after: LevelPlan) -> str:
    for was, plan in zip(before.stages, after.stages, strict=True):
        if plan.clips and _is_worse(was.headroom_db, plan.headroom_db):
            return _beyond(plan.stage, -plan.headroom_db)
    was, now = before.converter_dbfs, after.converter_dbfs
    if after.converter_clips and _is_worse(None if was is None else -was, -now):
        return "By the logged levels it would drive the converter beyond full scale."
    return ""


def _above_reading(before: LevelPlan, turned: Sequence[Stage]) -> str:
    """By what was read at a unit's output, and the gain that is turned up as far as there."""
    more = 0.0
    for plan, stage in zip(before.stages, turned, strict=True):
        if stage.is_printed:
            more += _gain_db(stage) - _gain_db(plan.stage)
        most = stage.facts.unit.model.max_output_dbu
        if None not in (most, plan.read_dbu) and more > _LEAST_DB:
            over = plan.read_dbu + more - float(most)
            if over > 0:
                return _beyond(stage, over)
    return ""


def _by_file(
    stages: Sequence[Stage], turned: Sequence[Stage], full_scale_dbu: float, fed_dbu: float | None
) -> str:
    was, limit = (
        limit_of(measured_through(each)[1], full_scale_dbu)[0] for each in (stages, turned)
    )
    if (
        None in (limit, fed_dbu)
        or limit.dbu >= fed_dbu
        or (was and not _is_worse(was.dbu, limit.dbu))
    ):
        return ""
    return f"The test file, as loud as it is fed, would drive {limit.what} beyond its maximum."


def _gain_db(stage: Stage) -> float:
    sums, _ = summed_gains(StageControls.at(stage), [])
    return sums["gain_db"] - abs(sums["pad_db"]) + sums["make_up_db"]


def _beyond(stage: Stage, over_db: float) -> str:
    over = format_value(round(over_db, 1), "dB", signed=False)
    return f"By the logged levels it would drive {stage.facts.unit.tag} {over} beyond its maximum."


def _is_worse(was_db: float | None, is_db: float) -> bool:
    return was_db is None or is_db < was_db - _LEAST_DB
