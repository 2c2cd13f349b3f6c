"""What happens to the signal: levels that do not fit, what clips, what is squeezed, what is recorded."""

from collections.abc import Iterator

from gear.audio.level_text import level_text
from gear.equipment.models import Category, SignalLevel
from sessions.setups.levels.plan import level_plan
from sessions.setups.levels.reduction import reduction_of
from sessions.setups.models import Revision
from sessions.setups.patching.connections import connections
from sessions.setups.warnings.warning import Warning, from_verdict

_MISMATCHES: dict[tuple[str, str], tuple[str, str]] = {
    (SignalLevel.MICROPHONE, SignalLevel.LINE): (
        "comes out at microphone level and goes into a line input: far too quiet, and noisy",
        "Put a preamplifier between them, or use a microphone input.",
    ),
    (SignalLevel.LINE, SignalLevel.MICROPHONE): (
        "comes out at line level and goes into a microphone input: it will overload",
        "Use a line input, or a pad, and see that phantom power is off there.",
    ),
}


def level_mismatch(revision: Revision) -> Iterator[Warning]:
    """Microphone level into a line input, and the reverse; a patch point's level goes first."""
    for made in connections(revision):
        if made.destination is None:
            continue
        level_out = made.out_at.level if made.out_at else made.source.facts.unit.model.output_level
        level_in = made.in_at.level if made.in_at else made.destination.facts.unit.model.input_level
        if (level_out, level_in) in _MISMATCHES:
            finding, advice = _MISMATCHES[level_out, level_in]
            yield Warning(
                "warning",
                f"{made.source.facts.unit} {finding} ({made.destination.facts.unit}).",
                advice,
                made.destination,
            )


def monitor_only_before_printed(revision: Revision) -> Iterator[Warning]:
    printed = [stage for stage in revision.stages.all() if stage.is_printed]
    for stage in revision.stages.all():
        if not stage.is_printed and printed and stage.position < printed[-1].position:
            yield Warning(
                "caution",
                f"{stage.facts.unit} is marked monitor only, but comes before {printed[-1].facts.unit}, "
                "which is printed.",
                "If the recorded signal runs through it, mark it printed; if it only hangs beside "
                "the path, move it to the end.",
                stage,
            )


def after_converter(revision: Revision) -> Iterator[Warning]:
    """What is printed only if it comes before the converter, whose output is what is recorded."""
    stages = list(revision.stages.all())
    categories = [stage.unit.model.category for stage in stages]
    if Category.CONVERTER not in categories:
        return
    converter = stages[categories.index(Category.CONVERTER)]
    for stage in stages[categories.index(Category.CONVERTER) + 1 :]:
        model = stage.unit.model
        is_digital = SignalLevel.DIGITAL in (model.input_level, model.output_level)
        if stage.is_printed and model.category != Category.CONVERTER and not is_digital:
            yield Warning(
                "warning",
                f"{stage.facts.unit} stands after the converter {converter.facts.unit}.",
                "What is recorded leaves the converter: move the unit before it, or mark it monitor "
                "only.",
                stage,
            )


def gain_reduction_high(revision: Revision) -> Iterator[Warning]:
    for stage in revision.stages.all():
        reduction = reduction_of(stage)
        verdict = reduction.verdict if reduction else None
        if verdict and verdict.severity == "caution":
            yield from_verdict(verdict, f"{stage.facts.unit}", stage)


def stage_clips(revision: Revision) -> Iterator[Warning]:
    """By the level plan, where a source level or a reading is written down."""
    plan = level_plan(revision)
    for planned in plan.clips:
        over = f"by {-planned.headroom_db:.1f} dB"
        if planned.stage.facts.unit.model.category == Category.MICROPHONE:
            yield Warning(
                "warning",
                f"{planned.stage.facts.unit} is driven past its maximum sound level, {over}.",
                "Move it back, switch its own pad on, or choose another microphone.",
                planned.stage,
            )
        else:
            yield Warning(
                "warning",
                f"{planned.stage.facts.unit} clips at the planned level, {over}.",
                "Reduce the gain here or before it, or use a pad; the level plan shows where.",
                planned.stage,
            )
    if plan.converter_clips:
        yield Warning(
            "warning",
            f"The converter is driven to {plan.converter_dbfs:+.1f} dBFS at the planned level.",
            f"It has headroom up to 0 dBFS, which is {level_text(plan.full_scale_dbu)} here: reduce the gain "
            "before it.",
        )
