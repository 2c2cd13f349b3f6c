"""What to look at before the artist hears it: one small rule each, none of which blocks anything.

The rules read revisions loaded `with_stages` and cost no query. They are common practice where no
source is named beside them.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from gear.audio.delay import headphone_delay_ms, headphone_delay_verdict
from gear.audio.phantom import phantom_advice
from gear.audio.verdict import Severity, Verdict
from gear.equipment.models import Category, GearModel, Phantom, SignalLevel, Transducer
from gear.panels.models import Control, Meaning
from sessions.setups.models import Orientation, Revision, Setup, Stage
from sessions.setups.patching import Patching
from sessions.setups.reduction import reduction_of
from sessions.setups.stage_controls import StageControls
from sessions.setups.summary import connections

SEVERITIES: tuple[Severity, ...] = ("warning", "caution", "note")

#: Common practice, no source: where the preamplifier's gain for a voice starts.
VOICE_STARTING_GAIN_DB = 35


@dataclass(frozen=True)
class Warning:
    """What is wrong or worth a look, why, and the way out. `is_safety`: it can hurt someone."""

    severity: Severity
    reason: str
    way_out: str
    stage: Stage | None = None
    is_safety: bool = False


def chain_warnings(revision: Revision) -> list[Warning]:
    """All that the chain itself gives cause for, the gravest first."""
    return _gravest_first(warning for rule in CHAIN_RULES for warning in rule(revision))


def setup_warnings(
    setup: Setup, revisions: Iterable[Revision], patching: Patching
) -> list[Warning]:
    """What the setup gives cause for as a whole; `revisions` are the newest of its chains."""
    return _gravest_first(
        [*buffer_too_large(setup), *unit_twice(revisions), *patch_clashes(patching)]
    )


def patch_clashes(patching: Patching) -> Iterator[Warning]:
    """What cannot be plugged, also beside the other setups that are up."""
    for clash in patching.clashes:
        yield Warning(clash.severity, clash.reason, clash.way_out)


def buffer_verdict(setup: Setup) -> Verdict | None:
    """What a singer makes of the buffer at the project's sample rate; None where it is unknown."""
    if not setup.buffer_samples:
        return None
    delay_ms = headphone_delay_ms(setup.buffer_samples, setup.session.project.sample_rate)
    return headphone_delay_verdict(delay_ms)


def buffer_too_large(setup: Setup) -> Iterator[Warning]:
    verdict = buffer_verdict(setup)
    if verdict and verdict.severity != "ok":
        yield _from_verdict(verdict, f"Buffer of {setup.buffer_samples} samples")


def unit_twice(revisions: Iterable[Revision]) -> Iterator[Warning]:
    """Units in more than one place of the setup: one warning for all that share the same chains.

    A unit of many channels may stand in several chains, each time at patch points of its own; what
    comes before a mult belongs to all chains that take their copies there.
    """
    places = defaultdict(list)
    for revision in revisions:
        for stage in _after_mult(revision):
            place = stage.unit, stage.patch_in_id, stage.patch_out_id
            places[place].append(f"“{revision.chain}”")
    shared = defaultdict(list)
    for (unit, *_points), chains in places.items():
        if len(chains) > 1:
            shared[tuple(chains)].append(f"{unit}")
    for chains, units in shared.items():
        where = " and ".join(dict.fromkeys(chains))
        how = "in each of" if len(set(chains)) > 1 else "more than once in"
        yield Warning(
            "caution",
            f"{', '.join(units)}: stands {how} {where}.",
            "One after the other that is fine. At the same time a unit needs a channel for each: "
            "say which in the stages’ notes, or choose another unit.",
        )


def _after_mult(revision: Revision) -> list[Stage]:
    stages = list(revision.stages.all())
    copied = [n for n, stage in enumerate(stages, 1) if stage.patch_out and stage.patch_out.mult]
    return stages[max(copied, default=0) :]


def phantom_power(revision: Revision) -> Iterator[Warning]:
    """48 V against what the microphone needs (IEC 61938 describes the supply)."""
    for stage in revision.stages.all():
        if stage.unit.model.category not in (Category.MICROPHONE, Category.DI_BOX):
            continue
        need = _phantom_need(stage.unit.model)
        switch = _phantom_switch_after(revision, stage)
        if switch is None or switch[1] is None:
            yield from _phantom_unknown(stage, need, where=switch and switch[0])
            continue
        switched_at, value = switch
        verdict = phantom_advice(need, is_on=value > 0)
        if verdict.severity != "ok":
            is_safety = verdict.severity != "note"
            yield _from_verdict(verdict, f"{stage.unit}", switched_at, is_safety=is_safety)


def _phantom_need(model: GearModel) -> str:
    """A passive ribbon is kept off 48 V whatever its entry says."""
    return Phantom.HARMFUL if model.transducer == Transducer.RIBBON else model.phantom


def _phantom_switch_after(revision: Revision, source: Stage) -> tuple[Stage, float | None] | None:
    """The switch that feeds the source: its stage and setting, on a supply or the input after it."""
    for stage in revision.stages.all():
        if stage.position <= source.position:
            continue
        for control in _controls_for(stage, Meaning.PHANTOM):
            return stage, stage.setting(control)
        if stage.unit.model.category != Category.SUPPLY:
            return None
    return None


def _phantom_unknown(stage: Stage, need: str, *, where: Stage | None) -> Iterator[Warning]:
    missing = f"the phantom switch of {where.unit} is not logged" if where else "no switch for it"
    if need == Phantom.NEEDED:
        yield Warning(
            "caution",
            f"{stage.unit} needs phantom power (48 V), and {missing}"
            f"{'' if where else ' stands on the unit after it'}.",
            "Log where its 48 V comes from. Plug the cable in first, turn headphones and monitors "
            "down, then switch it on.",
            where or stage,
        )
    elif need == Phantom.HARMFUL and where:
        yield Warning(
            "caution",
            f"{stage.unit} can be damaged by phantom power (48 V), and {missing}.",
            "See that it is off before the cable is plugged in, and log it as off.",
            where,
        )


def valve_without_supply(revision: Revision) -> Iterator[Warning]:
    """A valve microphone works from its own supply only."""
    supplies = [
        stage.unit
        for stage in revision.stages.all()
        if stage.unit.model.category == Category.SUPPLY
    ]
    for stage in _own_supply_microphones(revision):
        own = stage.unit.supply
        name = f"{own}" if own else "its own supply"
        if not supplies:
            yield Warning(
                "warning",
                f"{stage.unit} has no supply in this chain; without one it is useless.",
                f"Add {name} as the stage after it.",
                stage,
            )
        elif own and own not in supplies:
            yield Warning(
                "caution",
                f"{stage.unit} belongs with {own}, but {supplies[0]} stands in this chain.",
                "Use the supply that belongs with it; another may give it the wrong voltages.",
                stage,
                is_safety=True,
            )


def supply_before_cable(revision: Revision) -> Iterator[Warning]:
    for stage in _own_supply_microphones(revision):
        minutes = stage.unit.model.warm_up_minutes
        warm_up = f" and let it warm up for {minutes} minutes" if minutes else ""
        yield Warning(
            "caution",
            f"{stage.unit} works from a supply with high voltage on its cable.",
            "Never plug or unplug that cable unless the supply is off and has died away: anything "
            f"else is unsafe and harms the microphone. Connect first, then switch on{warm_up}.",
            stage,
            is_safety=True,
        )


def _own_supply_microphones(revision: Revision) -> list[Stage]:
    return [
        stage
        for stage in revision.stages.all()
        if stage.unit.model.category == Category.MICROPHONE
        and (stage.unit.model.own_supply or stage.unit.model.is_valve_microphone)
    ]


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
        level_out = made.out_at.level if made.out_at else made.source.unit.model.output_level
        level_in = made.in_at.level if made.in_at else made.destination.unit.model.input_level
        if (level_out, level_in) in _MISMATCHES:
            finding, way_out = _MISMATCHES[level_out, level_in]
            yield Warning(
                "warning",
                f"{made.source.unit} {finding} ({made.destination.unit}).",
                way_out,
                made.destination,
            )


def monitor_only_before_printed(revision: Revision) -> Iterator[Warning]:
    printed = [stage for stage in revision.stages.all() if stage.is_printed]
    for stage in revision.stages.all():
        if not stage.is_printed and printed and stage.position < printed[-1].position:
            yield Warning(
                "caution",
                f"{stage.unit} is marked monitor only, but stands before {printed[-1].unit}, "
                "which is printed.",
                "If the recorded signal runs through it, mark it printed; if it only hangs beside "
                "the path, move it to the end.",
                stage,
            )


def gain_reduction_high(revision: Revision) -> Iterator[Warning]:
    for stage in revision.stages.all():
        reduction = reduction_of(StageControls(stage))
        verdict = reduction.verdict if reduction else None
        if verdict and verdict.severity == "caution":
            yield _from_verdict(verdict, f"{stage.unit}", stage)


def gain_not_logged(revision: Revision) -> Iterator[Warning]:
    """A hint for the first gain control after a microphone, while it has no setting."""
    stages = list(revision.stages.all())
    if not stages or stages[0].unit.model.category != Category.MICROPHONE:
        return
    for stage in stages[1:]:
        for control in _controls_for(stage, Meaning.GAIN):
            if stage.setting(control) is None:
                yield Warning(
                    "note",
                    f"{control.label} of {stage.unit} is not logged.",
                    f"A voice usually starts near {VOICE_STARTING_GAIN_DB} dB of preamplifier "
                    "gain; set it by the meter and log it.",
                    stage,
                )
            return


def hung_upside_down(revision: Revision) -> Iterator[Warning]:
    placement = getattr(revision, "placement", None)
    if placement and placement.orientation == Orientation.HUNG:
        yield Warning(
            "caution",
            "The microphone hangs upside down.",
            "Fix its cable first, then hang it; secure it and the stand against falling, with "
            "nobody underneath while it goes up.",
            is_safety=True,
        )


CHAIN_RULES: tuple[Callable[[Revision], Iterator[Warning]], ...] = (
    phantom_power,
    valve_without_supply,
    supply_before_cable,
    level_mismatch,
    monitor_only_before_printed,
    gain_reduction_high,
    gain_not_logged,
    hung_upside_down,
)


def _controls_for(stage: Stage, meaning: Meaning) -> list[Control]:
    return [control for control in stage.controls() if control.meaning == meaning]


def _from_verdict(
    verdict: Verdict, about: str, stage: Stage | None = None, *, is_safety: bool = False
) -> Warning:
    """A verdict's first sentence is what was found, the rest is what to do about it."""
    reason, _, way_out = verdict.sentence.partition(". ")
    return Warning(
        verdict.severity, f"{about}: {reason.rstrip('.')}.", way_out, stage, is_safety=is_safety
    )


def _gravest_first(warnings: Iterable[Warning]) -> list[Warning]:
    return sorted(warnings, key=lambda warning: SEVERITIES.index(warning.severity))
