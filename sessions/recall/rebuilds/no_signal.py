"""What would pass no signal in a rebuild with the units that are chosen now, and as they are set."""

from collections.abc import Iterator

from gear.equipment.models import Category, Phantom
from gear.panels.models import Meaning
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist
from sessions.recall.rebuilds.patching import as_stage
from sessions.setups.warnings.channels import behind_copies, stands_twice


def no_signal_in(checklist: Checklist) -> list[str]:
    """In sentences, each once."""
    found = [each for chain in checklist.chains for each in _of_chain(chain)]
    found += [
        f"{clash.reason} {clash.advice}" for clash in checklist.patching.clashes if clash.no_signal
    ]
    chains = (
        (f"{chain.wanted}", behind_copies([as_stage(line) for line in chain.in_use]))
        for chain in checklist.chains
    )
    found += [
        f"{warning.reason} {warning.advice}"
        for warning in stands_twice(chains)
        if warning.no_signal
    ]
    return list(dict.fromkeys(found))


def _of_chain(chain: ChainChecklist) -> Iterator[str]:
    supplies = [line for line in chain.in_use if line.in_use.model.category == Category.SUPPLY]
    switches = [
        control
        for line in chain.in_use
        for control in line.controls
        if control.control.meaning == Meaning.PHANTOM
    ]
    for line in chain.in_use:
        unit, model = line.in_use, line.in_use.model
        if model.category == Category.MICROPHONE and model.needs_supply and not supplies:
            yield (
                f"{chain.wanted}: {unit} has no supply here; without one it is silent. Choose "
                f"{unit.supply or 'its own supply'} for the unit after it, or another microphone."
            )
        if model.phantom_need == Phantom.NEEDED and not (supplies or switches):
            yield (
                f"{chain.wanted}: {unit} needs 48 V, and no unit after it has a switch for it. Choose "
                "another input, or another microphone."
            )
    for control in switches:
        if control.is_set and control.set_to <= 0 and control.ruling.to_advise:
            yield f"{chain.wanted}: 48 V is off. {control.ruling.why_on}"
