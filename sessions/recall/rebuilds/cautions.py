"""What can hurt someone, or the equipment, while these units are set up."""

from collections.abc import Iterator
from dataclasses import dataclass

from gear.equipment.cautions import LIFTING, PATCHING, PHANTOM_NEEDED, Caution, cautions_for
from gear.panels.models import Meaning
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist, StageLine
from sessions.setups.models import Orientation


@dataclass(frozen=True)
class ChecklistCaution:
    """A caution, with the units that give cause for it."""

    caution: Caution
    about: str


def cautions_of(checklist: Checklist) -> list[ChecklistCaution]:
    """Each caution once."""
    causes: dict[Caution, dict[str, None]] = {PATCHING: {}}
    for chain in checklist.chains:
        for caution, about in _chain_cautions(chain):
            causes.setdefault(caution, {})[about] = None
    return [ChecklistCaution(caution, ", ".join(about)) for caution, about in causes.items()]


def _chain_cautions(chain: ChainChecklist) -> Iterator[tuple[Caution, str]]:
    if chain.wanted.placement.get("orientation") == Orientation.HUNG:
        yield LIFTING, f"the microphone of {chain.wanted.source}"
    is_harmful = bool(chain.harmed)
    for line in chain.in_use:
        for caution in cautions_for(
            line.in_use.model, gives_phantom=_gives_phantom(line), is_harmful=is_harmful
        ):
            yield caution, _named(line, caution)


def _named(line: StageLine, caution: Caution) -> str:
    """With its channel where the caution is about phantom power: one switch may be on, another off."""
    name, model = str(line.in_use), line.in_use.model
    if caution.title == PHANTOM_NEEDED.title and model.channels > 1 and line.step.channel:
        tag = line.in_use.asset_tag
        return name.replace(f"({tag})", f"({tag}/{line.step.channel})")
    return name


def _gives_phantom(line: StageLine) -> bool:
    """Whether its phantom power was logged as on, or is on."""
    return any(
        control.control.meaning == Meaning.PHANTOM
        and ((control.logged or 0) > 0 or (control.set_to or 0) > 0)
        for control in line.controls
    )
