"""Who gets phantom power with whom, by the one rule (`gear/equipment/phantom.py`): one switch may serve
several inputs, and so several chains. All revisions are loaded `with_stages`."""

from collections.abc import Iterable

from gear.equipment.models import Category, Unit
from gear.equipment.phantom import (
    HEARS,
    Line,
    Place,
    Ruling,
    phantom_ruling,
    reached,
    ruling_at,
)
from gear.panels.models import Control, Meaning
from sessions.setups.models import Revision, Stage
from sessions.setups.patching.patch_list import newest_of_sessions

BY_ANOTHER = "48 V from the splitter’s direct output"
SHARED = "48 V on for others"


def phantom_words(revision: Revision, beside: Iterable[Revision]) -> str:
    """What today's record says of 48 V at the chain's input, and at all that it would reach; empty
    where nothing there asks."""
    beside = list(beside)
    own = phantom_ruling(line_of(revision).units)
    harmed = harmed_beside(revision, beside)
    needs = own.needed_by and own.needed_by[0].model.category in HEARS
    if needs and not harmed and split_output(revision):
        return BY_ANOTHER
    if own.hears and not own.needed_by and not harmed and _is_on_for_others(revision, beside):
        return SHARED
    return Ruling(tuple(harmed), own.needed_by, own.hears).words


def _is_on_for_others(revision: Revision, beside: Iterable[Revision]) -> bool:
    """Whether a switch of the chain is to be on for other inputs that it serves in the session. What
    stands at the same input is used before or after it."""
    session = revision.chain.setup.session_id
    others = [each for each in beside if each.chain.setup.session_id == session]
    return any(
        ruling_at(
            place_of(stage), [line_of(each) for each in others if not _holds(each, stage)]
        ).to_advise
        for stage in revision.stages.all()
        if stage.controls_for(Meaning.PHANTOM)
    )


def _holds(revision: Revision, stage: Stage) -> bool:
    return any(each.facts.unit.tag == stage.facts.unit.tag for each in revision.stages.all())


def line_of(revision: Revision) -> Line:
    return Line(tuple(map(place_of, revision.stages.all())))


def place_of(stage: Stage) -> Place:
    outputs = (stage.setting(control) for control in stage.controls_for(Meaning.SPLIT_OUTPUT))
    return place_at(stage.unit, stage.channel, stage.controls(), isolates=any(outputs))


def place_at(
    unit: Unit, channel: int | None, controls: Iterable[Control], *, isolates: bool = False
) -> Place:
    """A unit with the controls of its panel: one switch that serves all channels is every channel’s."""
    switches = [control for control in controls if control.meaning == Meaning.PHANTOM]
    serves_all = any(control.serves_all for control in switches)
    return Place(unit, None if serves_all else channel, bool(switches), isolates)


def harmed_beside(revision: Revision, beside: Iterable[Revision]) -> list[Unit]:
    """What 48 V for this chain can damage, wherever it would reach: for a chain that gets it from
    another of its splitter, by that one's switch too."""
    beside = list(beside)
    givers = [revision, *(splits_with(revision, beside) if split_output(revision) else ())]
    fed = [each for giver in givers for each in (giver, *mates_of(giver, beside))]
    return list(phantom_ruling(each.unit for one in fed for each in one.stages.all()).harmed)


def mates_of(revision: Revision, beside: Iterable[Revision]) -> list[Revision]:
    """The other chains, of those that stand `beside` it, which 48 V from a switch of this one reaches
    too: at an input of the same switch, or through a splitter."""
    switches = line_of(revision).switches
    lines = [(other, line_of(other)) for other in beside]
    found = [id(line) for line in reached(switches, [line for _, line in lines])]
    return [
        other for other, line in lines if id(line) in found and other.chain_id != revision.chain_id
    ]


def feeders_of(
    revision: Revision, beside: Iterable[Revision], *, with_place: Place | None = None
) -> list[Revision]:
    """The same the other way about: the chains from which 48 V reaches this one, or would if a unit
    came to it."""
    lines = [(other, line_of(other)) for other in beside if other.chain_id != revision.chain_id]
    places = (*line_of(revision).places, *filter(None, [with_place]))
    hangs_on = Line(places).hangs_on(line for _, line in lines)
    return [other for other, line in lines if hangs_on & line.switches]


def harmed_by_switching_on(
    stage: Stage, in_session: Iterable[Revision] | None = None
) -> list[Unit]:
    """What 48 V from this stage would reach and can damage, by all that is up in its session."""
    return list(ruling_on_switch(stage, in_session).harmed)


def ruling_on_switch(stage: Stage, in_session: Iterable[Revision] | None = None) -> Ruling:
    """By all that is up in its session: its `newest_of_sessions`, asked for unless given."""
    revision = stage.revision
    if in_session is None:
        in_session = newest_of_sessions([revision.chain.setup.session_id])
    up = [other for other in in_session if other.chain.is_up and other.pk != revision.pk]
    return ruling_at(place_of(stage), map(line_of, [revision, *up]))


def harmed_through(stage: Stage, beside: Iterable[Revision]) -> list[Unit]:
    """The units that 48 V from this stage can damage: in its own chain and in all that it reaches."""
    return list(ruling_at(place_of(stage), map(line_of, beside)).harmed)


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
