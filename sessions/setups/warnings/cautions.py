"""What can hurt someone, or the equipment, while a chain is set up again."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.equipment.cautions import (
    AMPLIFIER,
    HIGH_VOLTAGE,
    Caution,
    cautions_for,
)
from gear.panels.models import Meaning
from sessions.setups.chains.phantom import harmed_beside
from sessions.setups.models import Revision, Stage
from sessions.setups.warnings.placement import hung_upside_down


@dataclass(frozen=True)
class ChainCaution:
    """A caution, with the stages that give cause for it, or the amplifiers of sources."""

    caution: Caution
    stages: tuple[Stage, ...]
    amplifiers: tuple[str, ...] = ()

    @property
    def about(self) -> str:
        units = (f"{stage.facts.unit}" for stage in self.stages)
        return ", ".join(dict.fromkeys([*units, *self.amplifiers]))

    @property
    def tags(self) -> str:
        """The same in short."""
        return ", ".join(dict.fromkeys(stage.facts.unit.tag for stage in self.stages))


def chain_cautions(revision: Revision, beside: Iterable[Revision] = ()) -> list[ChainCaution]:
    """Each caution once: supplies, phantom power, headphones, and what hangs over people's heads.

    `beside`: the chains that are up with it, since a phantom switch may serve several inputs.
    """
    causes: dict[Caution, list[Stage]] = {}
    is_harmful = bool(harmed_beside(revision, beside))
    for stage in revision.stages.all():
        for caution in cautions_for(
            stage.unit.model, gives_phantom=_gives_phantom(stage), is_harmful=is_harmful
        ):
            causes.setdefault(caution, []).append(stage)
    for warning in hung_upside_down(revision):
        causes[Caution("lifting", f"{warning.reason} {warning.advice}")] = []
    found = [ChainCaution(caution, tuple(stages)) for caution, stages in causes.items()]
    if amplifier := revision.source_facts.amplified_by:
        found.append(ChainCaution(AMPLIFIER, (), (amplifier,)))
    return found


def setup_cautions(revisions: Iterable[Revision]) -> list[ChainCaution]:
    """Each caution of several chains once. The one for patching stands with their patch list."""
    causes: dict[Caution, dict[Stage, None]] = {}
    amplifiers: dict[Caution, dict[str, None]] = {}
    revisions = list(revisions)
    for revision in revisions:
        for found in chain_cautions(revision, revisions):
            causes.setdefault(found.caution, {}).update(dict.fromkeys(found.stages))
            amplifiers.setdefault(found.caution, {}).update(dict.fromkeys(found.amplifiers))
    return [
        ChainCaution(caution, tuple(stages), tuple(amplifiers[caution]))
        for caution, stages in causes.items()
    ]


def beside_warnings(revision: Revision, beside: Iterable[Revision] = ()) -> list[ChainCaution]:
    """The cautions for a page that gives the chain's warnings too: without what those say."""
    return [
        found
        for found in chain_cautions(revision, beside)
        if (found.stages or found.amplifiers) and found.caution != HIGH_VOLTAGE
    ]


def _gives_phantom(stage: Stage) -> bool:
    return any(
        control.meaning == Meaning.PHANTOM and (stage.setting(control) or 0) > 0
        for control in stage.controls()
    )
