"""Who gets phantom power with whom: one switch may serve several inputs, and so several chains."""

from collections.abc import Iterable

from gear.equipment.cautions import harmed_by_phantom
from gear.equipment.models import Category, Phantom, Unit
from gear.panels.models import Meaning
from sessions.setups.models import Revision, Stage
from sessions.setups.patching.patch_list import newest_of_sessions

HEARS = (Category.MICROPHONE, Category.DI_BOX)
PHANTOM = {
    Phantom.NEEDED: "48 V on",
    Phantom.HARMFUL: "never 48 V",
    Phantom.HARMLESS: "48 V not needed",
}
BY_ANOTHER = "48 V from the splitter’s direct output"
ONE_OF_TWO = "no 48 V: one needs it, the other is damaged"


def phantom_words(revision: Revision, beside: Iterable[Revision]) -> str:
    """What today's record says of 48 V at the chain's input, and at all that it would reach; empty
    where nothing there asks."""
    units = [stage.unit for stage in revision.stages.all()]
    needs = [unit.model.phantom_need for unit in units if unit.model.category in HEARS]
    if not harmed_beside(revision, beside):
        if needs and needs[0] == Phantom.NEEDED and split_output(revision):
            return BY_ANOTHER
        return PHANTOM[needs[0]] if needs else ""
    return ONE_OF_TWO if Phantom.NEEDED in needs else PHANTOM[Phantom.HARMFUL]


def harmed_beside(revision: Revision, beside: Iterable[Revision]) -> list[Unit]:
    """What 48 V for this chain can damage, wherever it would reach: for a chain that gets it from
    another of its splitter, by that one's switch too."""
    beside = list(beside)
    givers = [revision, *(splits_with(revision, beside) if split_output(revision) else ())]
    fed = [each for giver in givers for each in (giver, *mates_of(giver, beside))]
    return harmed_by_phantom(dict.fromkeys(each.unit for one in fed for each in one.stages.all()))


def mates_of(revision: Revision, beside: Iterable[Revision]) -> list[Revision]:
    """The other chains, of those that stand `beside` it, which 48 V from a switch of this one reaches
    too: at an input of the same switch, or through a splitter. All of them loaded `with_stages`."""
    beside, ours = list(beside), _switches(revision)
    return [
        other
        for other in beside
        if other.chain_id != revision.chain_id and ours & _hangs_on(other, beside)
    ]


def feeders_of(revision: Revision, beside: Iterable[Revision]) -> list[Revision]:
    """The same the other way about: the chains from which 48 V reaches this one."""
    beside = list(beside)
    ours = _hangs_on(revision, beside)
    return [
        other for other in beside if other.chain_id != revision.chain_id and ours & _switches(other)
    ]


def harmed_by_switching_on(
    stage: Stage, in_session: Iterable[Revision] | None = None
) -> list[Unit]:
    """What 48 V from this stage would reach and can damage, by all that is up in its session: its
    `newest_of_sessions`, asked for unless given."""
    revision = stage.revision
    if in_session is None:
        in_session = newest_of_sessions([revision.chain.setup.session_id])
    up = [other for other in in_session if other.chain.is_up and other.pk != revision.pk]
    return harmed_through(stage, [revision, *up])


def harmed_through(stage: Stage, beside: Iterable[Revision]) -> list[Unit]:
    """The units that 48 V from this stage can damage: in its own chain and in all that it reaches."""
    beside, ours = list(beside), _banks(stage)
    served = [other for other in beside if ours & _hangs_on(other, beside)]
    units = dict.fromkeys(each.unit for revision in served for each in revision.stages.all())
    return harmed_by_phantom(units)


def splitter_in(revision: Revision) -> Stage | None:
    """The splitter that its microphone's signal comes from."""
    stages = revision.stages.all()
    return next((each for each in stages if each.unit.model.category == Category.SPLITTER), None)


def split_output(revision: Revision) -> float | None:
    """Which output of its splitter the chain is logged to take: 0 is the direct one, any other
    lets no phantom power through. None where there is no splitter, it is not logged, or is direct."""
    splitter = splitter_in(revision)
    for control in splitter.controls_for(Meaning.SPLIT_OUTPUT) if splitter else ():
        return splitter.setting(control) or None
    return None


def splits_with(revision: Revision, beside: Iterable[Revision]) -> list[Revision]:
    """The other chains that take the signal of the same splitter."""
    ours = splitter_in(revision)
    if ours is None:
        return []
    return [
        other
        for other in beside
        if other.chain_id != revision.chain_id
        and (theirs := splitter_in(other))
        and theirs.unit_id == ours.unit_id
    ]


def _hangs_on(revision: Revision, beside: list[Revision]) -> set[tuple[int, int]]:
    """The phantom switches whose 48 V may reach it: its own, and those of chains that take the signal
    of its splitter, since nobody relies upon an output to hold 48 V back."""
    return set().union(*map(_switches, [revision, *splits_with(revision, beside)]))


def _switches(revision: Revision) -> set[tuple[int, int]]:
    return {bank for stage in revision.stages.all() for bank in _banks(stage)}


def _banks(stage: Stage) -> set[tuple[int, int]]:
    """The phantom switches of its unit, by number, that the stage's channel may hang on."""
    if not stage.controls_for(Meaning.PHANTOM):
        return set()
    return {(stage.unit_id, bank) for bank in stage.unit.model.phantom_banks(stage.channel)}
