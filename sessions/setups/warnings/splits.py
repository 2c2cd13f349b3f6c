"""One microphone that a splitter gives to several chains: which of them carries its phantom power."""

from collections.abc import Iterable, Iterator

from gear.equipment.models import Phantom
from gear.panels.models import Meaning
from sessions.setups.chains.phantom import (
    HEARS,
    harmed_beside,
    split_output,
    splits_with,
    splitter_in,
)
from sessions.setups.models import Revision, Stage
from sessions.setups.warnings.warning import Warning


def split_phantom(revision: Revision, beside: Iterable[Revision]) -> Iterator[Warning]:
    """What a chain on an isolated output needs is carried by the one on the direct output. That an
    output is isolated is never relied upon where 48 V can damage something."""
    splitter, beside = splitter_in(revision), list(beside)
    if splitter is None or not _needs_phantom(revision) or harmed_beside(revision, beside):
        return  # of harm `phantom_power` speaks
    sharing = [revision, *splits_with(revision, beside)]
    outputs = {
        each.chain_id: splitter_in(each).setting(control)
        for each in sharing
        for control in splitter_in(each).controls_for(Meaning.SPLIT_OUTPUT)
    }
    carriers = [each for each in sharing if outputs.get(each.chain_id) == 0]
    if len(carriers) == 1 and split_output(revision):
        yield Warning(
            "note",
            f"48 V for {_needs_phantom(revision).facts.unit} comes through “{carriers[0].chain}”, on "
            f"the direct output of {splitter.facts.unit}.",
            "Switch it there, not here.",
            splitter,
        )
    elif len(carriers) != 1:
        found = "no chain" if not carriers else "more than one chain"
        yield Warning(
            "caution",
            f"{_needs_phantom(revision).facts.unit} needs phantom power (48 V), and {found} is logged "
            f"on the direct output of {splitter.facts.unit}.",
            "Log which chain takes the direct output: its 48 V feeds the microphone. See the maker’s "
            "instructions for what the others let through.",
            splitter,
        )


def _needs_phantom(revision: Revision) -> Stage | None:
    stages = (each for each in revision.stages.all() if each.unit.model.category in HEARS)
    return next((each for each in stages if each.unit.model.phantom_need == Phantom.NEEDED), None)
