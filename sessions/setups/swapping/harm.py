"""What is asked before a unit is plugged in where our record says that it comes to harm."""

from collections.abc import Iterable

from gear.equipment.models import Category, Unit
from gear.panels.models import Meaning
from sessions.setups.chains.asking import asks_phantom
from sessions.setups.chains.phantom import feeders_of
from sessions.setups.models import Chain, Revision, Stage
from sessions.setups.patching.patch_list import newest_of_sessions
from sessions.setups.warnings.channels import after_mult


def asks_before_swap(stage: Stage, unit: Unit, in_session: Iterable[Revision]) -> list[str]:
    """Of a stage whose revision is loaded `with_stages`; `in_session` as in `newest_of_sessions`."""
    revision = stage.revision
    up = [other for other in in_session if other.chain.is_up]
    others = [other for other in revision.stages.all() if other.pk != stage.pk]
    others += [each for feeder in feeders_of(revision, up) for each in feeder.stages.all()]
    return [*asks_phantom([unit], others), *_supply(stage, others)]


def asks_before_setting_up(chain: Chain, in_session: Iterable[Revision]) -> list[str]:
    """Before a chain that was struck takes the place of those that have it now."""
    revision, replaced = takes_from(chain, in_session)
    up = [other for other in in_session if other.chain.is_up]
    switches = [*replaced, *feeders_of(revision, up)]
    units = [stage.unit for stage in revision.stages.all()]
    return asks_phantom(units, [stage for each in switches for stage in each.stages.all()])


def takes_from(chain: Chain, in_session: Iterable[Revision]) -> tuple[Revision, list[Revision]]:
    """The chain as it stands, and the chains of its setup that are up in its place: on the same
    channel, or the same unit where that has only one."""
    in_session = list(in_session)
    revision = next(each for each in in_session if each.chain_id == chain.pk)
    ours = places(revision)
    return revision, [
        other
        for other in in_session
        if other.chain.setup_id == chain.setup_id
        and other.chain_id != chain.pk
        and other.chain.is_up
        and ours.keys() & places(other).keys()
    ]


def places(revision: Revision) -> dict[tuple[int, int | None], Stage]:
    """The units and channels that are the chain's alone."""
    return {
        (stage.unit_id, stage.channel): stage
        for stage in after_mult(revision)
        if stage.channel or stage.unit.model.channels == 1
    }


def in_session_of(chain: Chain) -> list[Revision]:
    return list(newest_of_sessions([chain.setup.session_id]))


def _supply(stage: Stage, others: Iterable[Stage]) -> list[str]:
    """The cable of the microphone that goes is live while its supply is on."""
    own = stage.unit.supply_id
    on = [
        other
        for other in others
        if own == other.unit_id
        and other.unit.model.category == Category.SUPPLY
        and any((other.setting(switch) or 0) > 0 for switch in other.controls_for(Meaning.POWER))
    ]
    return [
        f"{supply.facts.unit} is logged as on: switch it off and let it settle before the cable of "
        f"{stage.facts.unit} is unplugged. The makers’ instructions come first. Once it is off, press "
        "again."
        for supply in on
    ]
