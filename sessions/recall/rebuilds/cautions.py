"""What can hurt someone, or the equipment, while these units are set up."""

from collections.abc import Iterator
from dataclasses import dataclass

from gear.equipment.cautions import PATCHING, PHANTOM_NEEDED, Caution, cautions_for
from gear.equipment.models import Phantom
from gear.panels.models import Meaning
from sessions.recall.rebuilds.work import ChainWork, StageLine, Work
from sessions.setups.models import Orientation

LIFTING = Caution(
    "lifting",
    "Fix its cable first, then hang it; secure it and the stand against falling, with nobody "
    "underneath while it goes up.",
)
PHANTOM_CLASH = Caution(
    "phantom power",
    "It is to be on in this chain as it was logged, and a unit that stands in now is damaged by "
    "it: leave it off.",
)


@dataclass(frozen=True)
class WorkCaution:
    """A caution, with the units that give cause for it."""

    caution: Caution
    about: str


def cautions_of(work: Work) -> list[WorkCaution]:
    """Each caution once."""
    causes: dict[Caution, dict[str, None]] = {PATCHING: {}}
    for chain in work.chains:
        for caution, about in _chain_cautions(chain):
            causes.setdefault(caution, {})[about] = None
    for line in work.stages:
        for caution in _cautions(line):
            causes.setdefault(caution, {})[str(line.unit)] = None
    return [WorkCaution(caution, ", ".join(about)) for caution, about in causes.items()]


def _chain_cautions(chain: ChainWork) -> Iterator[tuple[Caution, str]]:
    if chain.wanted.placement.get("orientation") == Orientation.HUNG:
        yield LIFTING, f"the microphone of {chain.wanted.source}"
    in_use = [line for line in chain.stages if line.unit]
    if any(_gives_phantom(line) for line in in_use):
        for line in in_use:
            if line.unit.model.phantom == Phantom.HARMFUL:
                yield PHANTOM_CLASH, str(line.unit)


def _cautions(line: StageLine) -> list[Caution]:
    if line.unit is None:
        return []
    cautions = cautions_for(line.unit.model)
    if _gives_phantom(line) and PHANTOM_NEEDED not in cautions:
        cautions.append(PHANTOM_NEEDED)
    return cautions


def _gives_phantom(line: StageLine) -> bool:
    return any(
        control.control.meaning == Meaning.PHANTOM and (control.wanted or 0) > 0
        for control in line.controls
    )
