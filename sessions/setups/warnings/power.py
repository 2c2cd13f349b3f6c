"""Phantom power, and microphones that work from a supply of their own: by today's record."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format

from gear.audio.phantom import phantom_advice
from gear.equipment.models import Category, Phantom, Unit
from gear.equipment.phantom import HEARS, Place, phantom_ruling, ruling_at
from gear.panels.models import Meaning
from sessions.setups.chains.phantom import (
    feeders_of,
    harmed_beside,
    line_of,
    mates_of,
    split_output,
)
from sessions.setups.models import Revision, Stage
from sessions.setups.warnings.warning import Warning, from_verdict


def phantom_power(revision: Revision, beside: Iterable[Revision] = ()) -> Iterator[Warning]:
    """48 V against what the microphone needs (IEC 61938 describes the supply); `beside` are the
    chains that are up with it, since 48 V from one may reach another."""
    beside = [each for each in beside if each.chain_id != revision.chain_id]
    harmed = harmed_beside(revision, beside)
    own = list(phantom_ruling(stage.unit for stage in revision.stages.all()).harmed)
    reached = [stage.unit for mate in mates_of(revision, beside) for stage in mate.stages.all()]
    theirs = [unit for unit in phantom_ruling(reached).harmed if unit not in own]
    yield from _on_for_several(revision, theirs)
    for feeder in feeders_of(revision, beside):
        yield from _on_for_several(feeder, own)
    line, stages = line_of(revision), list(revision.stages.all())
    for place, stage in zip(line.places, stages, strict=True):
        need = stage.unit.model.phantom_need
        if stage.unit.model.category not in HEARS and need != Phantom.NEEDED:
            continue
        if need == Phantom.NEEDED and harmed:
            yield _one_of_two(stage, harmed, own)
            continue
        if need == Phantom.NEEDED and (split_output(revision) or line.other_supply(place)):
            continue  # of another chain's direct output speaks `split_phantom`
        behind = line.switch_behind(place)
        switched_at = next(
            (s for s, p in zip(stages, line.places, strict=True) if p is behind), None
        )
        value = switched_at and _logged_at(switched_at, behind, [revision, *beside])
        if value is None:
            yield from _phantom_unknown(stage, need, where=switched_at)
            continue
        is_on = value > 0
        if (
            need == Phantom.HARMLESS
            and ruling_at(behind, map(line_of, [revision, *beside])).needed_by
        ):
            continue  # who hangs on the same switch needs it
        verdict = phantom_advice(need, is_on=is_on)
        if verdict.severity != "ok":
            is_harm = need == Phantom.HARMFUL
            yield from_verdict(
                verdict,
                f"{stage.facts.unit}",
                switched_at,
                is_safety=is_harm,
                no_signal=need == Phantom.NEEDED and not is_on,
            )


def _one_of_two(stage: Stage, harmed: list[Unit], own: list[Unit]) -> Warning:
    other_input = ", or an input of another phantom switch" if harmed != own else ""
    return Warning(
        "warning",
        f"{stage.facts.unit} needs phantom power (48 V), which can damage "
        f"{', '.join(map(str, harmed))}.",
        f"Leave it off, and choose another unit for one of the two{other_input}.",
        stage,
        is_safety=True,
    )


def _logged_at(stage: Stage, place: Place, revisions: Iterable[Revision]) -> float | None:
    """How its phantom switch is logged: there, else by a chain whose input the same switch serves."""
    alike = [stage]
    for revision in revisions:
        for other, theirs in zip(revision.stages.all(), line_of(revision).places, strict=True):
            if theirs.switches and len(place.banks) == 1 and theirs.banks == place.banks:
                alike.append(other)
    for each in alike:
        for control in each.controls_for(Meaning.PHANTOM):
            if (value := each.setting(control)) is not None:
                return value
    return None


def _on_for_several(revision: Revision, harmed: list[Unit]) -> Iterator[Warning]:
    """Its switch is logged as on, and serves the input of units that it can damage."""
    for stage in revision.stages.all():
        if harmed and any(
            (stage.setting(switch) or 0) > 0 for switch in stage.controls_for(Meaning.PHANTOM)
        ):
            yield Warning(
                "warning",
                f"48 V is logged as on at {stage.facts.unit} (“{revision.chain}”), whose switch serves "
                f"{', '.join(map(str, harmed))} too: it can damage that.",
                "Switch it off and let it die away before anything is plugged in; use an input of "
                "another phantom switch. The makers’ instructions come first.",
                stage,
                is_safety=True,
            )


def _phantom_unknown(stage: Stage, need: str, *, where: Stage | None) -> Iterator[Warning]:
    missing = (
        f"the phantom switch of {where.facts.unit} is not logged" if where else "no switch for it"
    )
    if need == Phantom.NEEDED:
        yield Warning(
            "caution",
            f"{stage.facts.unit} needs phantom power (48 V), and {missing}"
            f"{'' if where else ' stands on the unit after it'}.",
            "Log where its 48 V comes from. Plug the cable in first, turn headphones and monitors "
            "down, then switch it on.",
            where or stage,
        )
    elif need == Phantom.HARMFUL and where:
        yield Warning(
            "caution",
            f"{stage.facts.unit} can be damaged by phantom power (48 V), and {missing}.",
            "See that it is off before the cable is plugged in, and log it as off.",
            where,
        )


def valve_without_supply(revision: Revision) -> Iterator[Warning]:
    """A valve microphone works from its own supply only."""
    supplies = [
        stage.facts.unit
        for stage in revision.stages.all()
        if stage.unit.model.category == Category.SUPPLY
    ]
    for stage in _own_supply_microphones(revision):
        own = stage.facts.unit.supply
        name = f"{own}" if own else "its own supply"
        if not supplies:
            yield Warning(
                "warning",
                f"{stage.facts.unit} has no supply in this chain; without one it is silent.",
                f"Add {name} as the unit after it.",
                stage,
                no_signal=True,
            )
        elif own and own not in supplies:
            yield Warning(
                "caution",
                f"{stage.facts.unit} belongs with {own}, but {supplies[0]} stands in this chain.",
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
            f"{stage.facts.unit} works from a supply with high voltage on its cable.",
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


def not_warm_by_the_start(revision: Revision, *, now: datetime) -> Iterator[Warning]:
    """By when to switch on what has to warm up, until it is logged as on or the session is over.

    Reads revision.chain.setup.session.
    """
    session = revision.chain.setup.session
    if now >= session.ends_at:
        return
    for stage in _own_supply_microphones(revision):
        minutes = stage.unit.model.warm_up_minutes
        if not minutes or _is_on(revision, stage):
            continue
        switch_on_at = session.starts_at - timedelta(minutes=minutes)
        if now <= switch_on_at:
            yield Warning(
                "note",
                f"{stage.facts.unit} takes {minutes} minutes to warm up.",
                f"Switch its supply on by {_clock(switch_on_at)}, and log it as on.",
                stage,
            )
        else:
            warm_at = max(now + timedelta(minutes=minutes), session.starts_at)
            yield Warning(
                "caution",
                f"{stage.facts.unit} is not logged as on, and had to be on by {_clock(switch_on_at)} to "
                "be warm at the start.",
                f"If it is on, log it. Else, its cable plugged, switch on now: it is warm at "
                f"{_clock(warm_at)}; begin with something else.",
                stage,
            )


def _is_on(revision: Revision, microphone: Stage) -> bool:
    """Whether a power switch of the microphone or of a supply in the chain is logged as on."""
    sources = [
        stage
        for stage in revision.stages.all()
        if stage is microphone or stage.unit.model.category == Category.SUPPLY
    ]
    return any(
        (stage.setting(switch) or 0) > 0
        for stage in sources
        for switch in stage.controls_for(Meaning.POWER)
    )


def _clock(moment: datetime) -> str:
    return date_format(timezone.localtime(moment), "H:i")
