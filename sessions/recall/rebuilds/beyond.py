"""What a candidate would do otherwise than the logged unit, by how much, before it is chosen: levels
that it would clip, a pattern that it does not have, 48 V that it needs or that can damage it."""

from collections.abc import Iterator, Mapping, Sequence
from math import log10

from gear.audio.patterns import pattern_named
from gear.audio.values import setting_text
from gear.equipment.models import Category, Phantom, Unit
from gear.panels.models import Meaning, Panel
from sessions.recall.sheet.wanted import WantedChain, WantedStage
from sessions.setups.controls.matching import Match
from sessions.setups.levels.plan import LevelPlan, level_plan
from sessions.setups.models import Stage

LEAST_DB = 1.0  # a smaller difference of sensitivity is within what makers promise


def beyond(
    chain: WantedChain,
    wanted: WantedStage,
    unit: Unit,
    panels: Mapping[int, Panel],
    matches: Sequence[Match],
) -> list[str]:
    """The gravest first. `panels` by model; no query for a chain loaded `with_stages`."""
    return [
        *_power(chain, wanted, unit),
        *_clips(chain, wanted, unit, panels.get(unit.model_id), matches),
        *sensitivity_words(wanted, unit),
        *_pattern(chain, wanted, unit, panels),
    ]


def _power(chain: WantedChain, wanted: WantedStage, unit: Unit) -> Iterator[str]:
    need = unit.model.phantom_need
    on_at = [
        stage.unit_in_words
        for stage in chain.stages
        for control in stage.controls
        if control.meaning == Meaning.PHANTOM and (stage.settings.get(control.key) or 0) > 0
    ]
    if need == Phantom.HARMFUL:
        logged_on = (
            f", and was logged on at {', '.join(on_at)}: leave it off there" if on_at else ""
        )
        yield f"48 V can damage it{logged_on}"
    elif need == Phantom.NEEDED and wanted.model_facts.get("phantom") != need and not on_at:
        yield "it needs 48 V, which was not logged on here"
    has_supply = any(stage.category == Category.SUPPLY for stage in chain.stages)
    if unit.model.category == Category.MICROPHONE and unit.model.needs_supply and not has_supply:
        yield f"it needs {unit.supply or 'a supply of its own'}, for which this chain has no place"


def _clips(
    chain: WantedChain,
    wanted: WantedStage,
    unit: Unit,
    panel: Panel | None,
    matches: Sequence[Match],
) -> Iterator[str]:
    """By the level that was logged, and the gains as far as it can take them over."""
    if chain.revision is None:
        return
    stages = list(chain.revision.stages.all())
    settings = {m.target.key: m.value for m in matches if m.target and m.value is not None}
    instead = Stage(
        revision=chain.revision,
        position=wanted.position,
        path=wanted.path,
        unit=unit,
        panel=panel,
        settings=settings,
    )
    then = level_plan(chain.revision)
    now = level_plan(
        chain.revision, [instead if s.position == wanted.position else s for s in stages]
    )
    was = {plan.stage.position: plan.headroom_db for plan in then.stages}
    for plan in now.clips:
        headroom = was[plan.stage.position]
        if headroom is not None and headroom <= plan.headroom_db + 0.05:
            continue  # no worse than it was
        by = f"by {-plan.headroom_db:.1f} dB"
        if plan.stage is not instead:
            yield f"{plan.stage.facts.unit.tag} after it would clip {by} at the logged gain"
        elif unit.model.category == Category.MICROPHONE:
            yield f"the logged sound level is past its maximum, {by}"
        else:
            yield f"it would clip {by} at the logged level and gain"
    if now.converter_clips and now.converter_dbfs > (_converter(then) + 0.05):
        yield f"the converter would clip by {now.converter_dbfs:.1f} dB at the logged gain"


def _converter(plan: LevelPlan) -> float:
    return 0.0 if plan.converter_dbfs is None else plan.converter_dbfs


def sensitivity_words(wanted: WantedStage, unit: Unit) -> Iterator[str]:
    before, now = wanted.model_facts.get("sensitivity_mv_pa"), unit.model.sensitivity_mv_pa
    if not before or not now:
        return
    more = 20 * log10(float(now) / float(before))
    if abs(more) >= LEAST_DB:
        how, gain = ("more", "less") if more > 0 else ("less", "more")
        yield f"{abs(more):.1f} dB {how} sensitive: set as much {gain} gain"


def _pattern(
    chain: WantedChain, wanted: WantedStage, unit: Unit, panels: Mapping[int, Panel]
) -> Iterator[str]:
    said = chain.placement.get("pattern", "") if wanted.category == Category.MICROPHONE else ""
    logged = pattern_named(said) if said else None
    if logged is None or wanted.is_of(unit.model):
        return
    owners = [unit, *([unit.supply] if unit.supply else [])]
    words = [
        setting_text(mark.value, control.dial(), control.unit)
        for owner in owners
        if (panel := panels.get(owner.model_id))
        for control in panel.controls.all()
        if control.meaning == Meaning.PATTERN
        for mark in control.dial().marks
    ]
    if not words:
        yield f"no pattern switch on its panel: check that its own is the logged one, {logged.name.lower()}"
    elif logged not in map(pattern_named, words):
        yield f"no {logged.name.lower()}, which was logged: it has {', '.join(words)}"
