"""The levels along a chain: what is expected from the logged controls, against what was read.

What was not logged is said and never guessed: where a gain is missing the level is unknown from
there on, until a reading at a stage's output takes it up again.
"""

from dataclasses import dataclass

from gear.audio.levels import (
    StageGains,
    StageLevel,
    dbfs_from_dbu,
    dbu_from_dbfs,
    microphone_dbu,
    stage_level,
)
from gear.audio.noise import Noise, noise_at_input
from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.setups.controls.gains import summed_gains
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.at_microphone import spl_at_microphone
from sessions.setups.levels.reduction import Reduction, reduction_of
from sessions.setups.models import Revision, Stage
from sessions.setups.models.recording_format import RecordingFormat


@dataclass(frozen=True)
class StagePlan:
    """One stage's levels in dBu; None where they can't be told, and the notes say why.

    in_spl_db is what a microphone hears, which has no level in dBu at its input.
    headroom_db is the room to the nearer of its known limits. read_dbu is what was read at its
    output, difference_db how far above the expected that is.
    """

    stage: Stage
    in_dbu: float | None
    in_spl_db: float | None
    out_dbu: float | None
    headroom_db: float | None
    read_dbu: float | None
    reduction: Reduction | None
    notes: tuple[str, ...]

    @property
    def clips(self) -> bool:
        return self.headroom_db is not None and self.headroom_db < 0

    @property
    def difference_db(self) -> float | None:
        if self.read_dbu is None or self.out_dbu is None:
            return None
        return self.read_dbu - self.out_dbu


@dataclass(frozen=True)
class LevelPlan:
    """The whole chain. source says where it starts; None where nobody gave a level or reading."""

    source: str | None
    spl_db: float | None
    stages: tuple[StagePlan, ...]
    format: RecordingFormat
    converter_dbu: float | None
    noise: Noise | None
    missing: tuple[str, ...]

    @property
    def full_scale_dbu(self) -> float:
        return self.format.full_scale_dbu

    @property
    def converter_dbfs(self) -> float | None:
        """What the converter shows for a sine of that level."""
        if self.converter_dbu is None:
            return None
        return dbfs_from_dbu(self.converter_dbu, self.full_scale_dbu)

    @property
    def clips(self) -> list[StagePlan]:
        return [plan for plan in self.stages if plan.clips]

    @property
    def converter_clips(self) -> bool:
        return self.converter_dbfs is not None and self.converter_dbfs > 0

    @property
    def clips_first(self) -> tuple[str, float] | None:
        """What clips first as the source gets louder, and the room that it has, in dB."""
        rooms = [(plan.headroom_db, f"{plan.stage.facts.unit}") for plan in self.stages]
        if self.converter_dbfs is not None:
            rooms.append((-self.converter_dbfs, "The converter"))
        known = [(room, what) for room, what in rooms if room is not None]
        if not known:
            return None
        room, what = min(known, key=lambda found: found[0])
        return what, room


def level_plan(revision: Revision, stages: list[Stage] | None = None) -> LevelPlan:
    """Reads a revision loaded `with_stages` and costs no query; with `stages`, what would be if those
    stood in it."""
    recorded_as = revision.recording_format
    stages = list(revision.stages.all()) if stages is None else stages
    spl, missing = spl_at_microphone(revision)
    dbu, source = _source(revision, stages, spl, missing)
    plans: list[StagePlan] = []
    printed = before = dbu
    for stage in stages:
        arriving = printed if stage.is_printed else before
        plan = _stage_plan(stage, arriving, spl, recorded_as.full_scale_dbu)
        plans.append(plan)
        before = plan.out_dbu if plan.read_dbu is None else plan.read_dbu
        if stage.is_printed:
            printed = before
    last = [plan for plan in plans if plan.stage.is_printed]
    return LevelPlan(
        source=source,
        spl_db=spl,
        stages=tuple(plans),
        format=recorded_as,
        converter_dbu=_at_converter(last, printed),
        noise=_noise(stages, spl),
        missing=tuple(missing),
    )


def _source(
    revision: Revision, stages: list[Stage], spl: float | None, missing: list[str]
) -> tuple[float | None, str | None]:
    """The level that enters the first stage's output, in dBu, and where that comes from."""
    if revision.source_dbu is not None:
        return float(revision.source_dbu), revision.source_level_text
    if spl is None:
        missing.append("The source’s level is not logged.")
        return None, None
    said = f"{spl:.1f} dB SPL at the microphone"
    microphone = stages[0].facts.unit.model if stages else None
    if microphone is None or microphone.category != Category.MICROPHONE:
        missing.append("The first unit is not a microphone, so a sound level has no meaning here.")
        return None, said
    if microphone.sensitivity_mv_pa is None:
        missing.append(f"The sensitivity of {microphone} is not given.")
        return None, said
    return microphone_dbu(float(microphone.sensitivity_mv_pa), spl), said


def _stage_plan(
    stage: Stage, arriving: float | None, spl: float | None, full_scale: float
) -> StagePlan:
    notes: list[str] = []
    reduction = reduction_of(stage, arriving)
    gains = _gains(stage, reduction, notes)
    level = None
    if arriving is not None and gains is not None:
        level = stage_level(arriving, gains)
    is_microphone = stage.facts.unit.model.category == Category.MICROPHONE
    return StagePlan(
        stage=stage,
        in_dbu=None if is_microphone else arriving,
        in_spl_db=spl if is_microphone else None,
        out_dbu=level.out_dbu if level else None,
        headroom_db=_headroom(stage, level, gains, spl),
        read_dbu=_reading(stage, full_scale, notes),
        reduction=reduction,
        notes=tuple(notes),
    )


def _gains(stage: Stage, reduction: Reduction | None, notes: list[str]) -> StageGains | None:
    """What the stage does to the level; None when a gain of it is not logged."""
    sums, unlogged = summed_gains(StageControls.at(stage), notes)
    if reduction and reduction.is_unknown:
        unlogged.append(reduction.control.label)
    if unlogged:
        notes.append(f"Not logged: {', '.join(unlogged)}. So the level after it is unknown.")
        return None
    model = stage.facts.unit.model
    return StageGains(
        **sums,
        gain_reduction_db=reduction.taken_off_db if reduction else 0.0,
        max_input_dbu=_number(model.max_input_dbu),
        max_output_dbu=_number(model.max_output_dbu),
    )


def _headroom(
    stage: Stage, level: StageLevel | None, gains: StageGains | None, spl: float | None
) -> float | None:
    model = stage.facts.unit.model
    if model.category == Category.MICROPHONE:
        if model.max_spl_db is None or spl is None:
            return None
        return float(model.max_spl_db) + (abs(gains.pad_db) if gains else 0) - spl
    return level.headroom_db if level else None


def _reading(stage: Stage, full_scale: float, notes: list[str]) -> float | None:
    """What was read at the stage's output, in dBu: written down there, else its own meter."""
    controls = StageControls.at(stage)
    if stage.reading_out_dbu is not None:
        return float(stage.reading_out_dbu)
    for control in controls.of(Meaning.LEVEL_READING):
        value = controls.setting(control)
        if value is None:
            continue
        if control.unit == "dBu":
            return value
        if control.unit == "dBFS":
            return dbu_from_dbfs(value, full_scale)
        nominal = stage.facts.unit.model.nominal_level_dbu
        if nominal is not None and control.unit in ("dB", "VU"):
            return float(nominal) + value
        notes.append(f"{control.label} can’t be compared: the model’s nominal level is not known.")
    return None


def _at_converter(printed: list[StagePlan], level: float | None) -> float | None:
    """What arrives at the converter: the input of the last stage if it is one, else what leaves it."""
    if printed and printed[-1].stage.facts.unit.model.category == Category.CONVERTER:
        return printed[-1].in_dbu
    return level if printed else None


def _noise(stages: list[Stage], spl: float | None) -> Noise | None:
    """The microphone’s own noise against that of the first stage with an equivalent input noise."""
    if not stages or stages[0].facts.unit.model.category != Category.MICROPHONE:
        return None
    microphone = stages[0].facts.unit.model
    inputs = [stage.facts.unit.model.equivalent_input_noise_dbu for stage in stages[1:]]
    return noise_at_input(
        sensitivity_mv_per_pa=_number(microphone.sensitivity_mv_pa),
        self_noise_dba=_number(microphone.self_noise_dba),
        input_noise_dbu=_number(next((noise for noise in inputs if noise is not None), None)),
        spl_db=spl,
    )


def _number(value) -> float | None:
    return None if value is None else float(value)
