"""What would pass no signal in a rebuild with the units that are chosen now, and as they are set."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from gear.equipment.models import Category, Phantom
from gear.panels.models import Meaning
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist
from sessions.recall.rebuilds.patching import as_stage
from sessions.setups.warnings.channels import behind_copies, stands_twice


@dataclass(frozen=True)
class NoSignal:
    """What calls for one advice."""

    reasons: tuple[str, ...]
    advice: str


def no_signal_in(checklist: Checklist) -> list[NoSignal]:
    found = [each for chain in checklist.chains for each in _of_chain(chain)]
    found += [
        (clash.reason, clash.advice) for clash in checklist.patching.clashes if clash.no_signal
    ]
    chains = (
        (f"{chain.wanted}", behind_copies([as_stage(line) for line in chain.in_use]))
        for chain in checklist.chains
    )
    found += [(each.reason, each.advice) for each in stands_twice(chains) if each.no_signal]
    by_advice = defaultdict(dict)
    for reason, advice in found:
        by_advice[advice][reason] = None
    return [NoSignal(tuple(reasons), advice) for advice, reasons in by_advice.items()]


def _of_chain(chain: ChainChecklist) -> Iterator[tuple[str, str]]:
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
                f"{chain.wanted}: {unit} has no supply here; without one it is silent.",
                f"Choose {unit.supply or 'its own supply'} for the unit after it, or another microphone.",
            )
        if model.phantom_need == Phantom.NEEDED and not (supplies or switches):
            yield (
                f"{chain.wanted}: {unit} needs 48 V, and no unit after it has a switch for it.",
                "Choose another input, or another microphone.",
            )
    here = {line.in_use for line in chain.in_use}
    for control in switches:
        if control.harmed and here.intersection(control.ruling.needed_by):
            yield (
                f"{chain.wanted}: {control.ruling.why_needed}, and {control.ruling.why_not}.",
                "Leave it off, and choose another unit for one of the two, or an input of another switch.",
            )
        if control.is_set and control.set_to <= 0 and control.ruling.to_advise:
            yield f"{chain.wanted}: 48 V is off.", control.ruling.why_on
