"""What is asked before it is saved: facts that can do damage by our own record. They may be logged,
since they may be so anyway; they are saved once that is said twice."""

from collections.abc import Callable, Iterable

from gear.equipment.models import Category, Unit
from gear.equipment.phantom import Ruling, phantom_ruling
from gear.panels.models import Control, Meaning
from sessions.setups.chains.phantom import feeders_of, place_at, ruling_on_switch
from sessions.setups.models import Chain, Revision, Stage


def why_ask(
    stage: Stage,
    control: Control,
    value: float | None,
    in_session: Iterable[Revision] | None = None,
) -> str:
    """Why the control of a stage should not be put at a value; empty where nothing is asked."""
    return why_not_on(
        control, value, lambda: ruling_on_switch(stage, in_session)
    ) or why_not_switched(stage, control, value)


def why_not_on(control: Control, value: float | None, ruling: Callable[[], Ruling]) -> str:
    """Phantom power where it can damage something; `ruling` is asked for only where it matters."""
    if control.meaning != Meaning.PHANTOM or not value or value <= 0:
        return ""
    return ruling().why_not_on


def why_not_switched(stage: Stage, control: Control, value: float | None) -> str:
    """A microphone's supply that is switched while it is patched. Common practice, no source."""
    jack = stage.patch_out or stage.patch_in
    is_supply = control.meaning == Meaning.POWER and stage.unit.model.category == Category.SUPPLY
    was_on, is_on = bool(stage.setting(control)), bool(value)
    if not (is_supply and jack) or value is None or was_on == is_on:
        return ""
    return (
        f"{stage.unit} is patched at {jack}: switched there, it sends a thump into all that is open "
        "behind it. Turn the gain, monitors and headphones down first, and leave its cable to the "
        "microphone alone while it is on. If it is switched already, save once more."
    )


def asks_before_adding(chain: Chain, unit: Unit, in_session: Iterable[Revision]) -> list[str]:
    """Before a unit is plugged into a chain: of itself, and of what stands there, which may come upon
    the switch of other chains through it."""
    in_session = list(in_session)
    revision = next(each for each in in_session if each.chain_id == chain.pk)
    up = [other for other in in_session if other.chain.is_up]
    panel, channel = unit.model.current_panel(), chain.setup.free_channel(unit)
    place = place_at(unit, channel, panel.controls.all() if panel else ())
    own, feeders = list(revision.stages.all()), feeders_of(revision, up)
    new = [each for each in feeders_of(revision, up, with_place=place) if each not in feeders]
    brought = [stage for each in new for stage in each.stages.all()]
    reached = [stage for each in feeders for stage in each.stages.all()]
    return [
        *asks_phantom([unit], [*own, *reached, *brought]),
        *asks_phantom([stage.unit for stage in own], brought),
    ]


def asks_phantom(units: Iterable[Unit], stages: Iterable[Stage]) -> list[str]:
    """Before units are plugged in to which 48 V from any of the stages comes."""
    harmed = phantom_ruling(units).harmed
    where = dict.fromkeys(str(stage.facts.unit) for stage in phantom_on(stages))
    if not (harmed and where):
        return []
    return [
        f"48 V is logged as on at {' and '.join(where)} and can damage "
        f"{' and '.join(map(str, harmed))}: switch it off and let it die away before that is plugged "
        "in. The makers’ instructions come first. Once it is off, press again."
    ]


def phantom_on(stages: Iterable[Stage]) -> list[Stage]:
    """Those that are logged as giving phantom power."""
    return [
        stage
        for stage in stages
        if any((stage.setting(switch) or 0) > 0 for switch in stage.controls_for(Meaning.PHANTOM))
    ]
