"""What is asked before it is saved: facts that can do damage by our own record. They may be logged,
since they may be so anyway; they are saved once that is said twice."""

from collections.abc import Callable, Iterable

from gear.equipment.models import Category
from gear.equipment.phantom import Ruling
from gear.panels.models import Control, Meaning
from sessions.setups.chains.phantom import ruling_on_switch
from sessions.setups.models import Revision, Stage


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
