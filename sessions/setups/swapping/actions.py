"""Another unit in the place of one: in the chain itself, or in a copy that takes its place."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.utils import timezone

from gear.acting import action, set_facts
from gear.equipment.models import Category, Unit
from gear.equipment.phantom import phantom_ruling
from gear.panels.models import Meaning
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.actions import (
    Seen,
    changed_settings,
    check_in_service,
    claim_newest,
    claim_stage,
    copy_chain,
    delete_stage,
    lock_with_partners,
    make_room,
)
from sessions.setups.chains.asking import phantom_on
from sessions.setups.chains.fields import PointNames
from sessions.setups.chains.phantom import harmed_through
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Chain, Revision, Stage
from sessions.setups.swapping.carrying import Swap, pattern_lost, swap_of
from sessions.setups.swapping.harm import in_session_of, places, takes_from
from sessions.songs.models import Part

#: What a chain and the copy that takes its place have in common.
OF_THE_PLACE = ("taken_by", "destination_input", "summed_at")


class NoMicrophone(Exception):
    """The chain has no microphone, or one of a pair, that another could take the place of."""


@dataclass(frozen=True)
class Swapped:
    """`lost`: what could not be carried over, in words."""

    revision: Revision
    lost: tuple[str, ...]


@action
def swap_unit(stage: Stage, *, unit: Unit, seen: Seen, by) -> Swapped:
    """Put another unit in its place. Position, line and patch of the place stay, and settings as far
    as both panels have them, copied and not yet set.

    Raises OutOfService or EditedMeanwhile.
    """
    for each in filter(None, (unit, unit.supply)):
        check_in_service(each)
    return _put(claim_stage(stage, seen=seen, by=by), unit)


@action
def copy_with_microphone(
    chain: Chain, *, microphone: Unit, track: str, source: str, parts: Iterable[Part], by
) -> Swapped:
    """A copy of the chain with another microphone, which takes its place: the chain itself is struck.

    Raises NoMicrophone or OutOfService.
    """
    if chain.group and chain.group.is_pair:
        raise NoMicrophone(
            f"{chain} is one of a pair: change its microphones on the chains’ pages."
        )
    for each in filter(None, (microphone, microphone.supply)):
        check_in_service(each)
    lock_with_partners(chain)
    _strike([chain])
    copy = copy_chain(
        chain,
        to=chain.setup,
        by=by,
        track=track,
        source=source,
        parts=parts,
        **{name: getattr(chain, name) for name in OF_THE_PLACE},
    )
    stage = copy.newest_revision().stages.filter(unit__model__category=Category.MICROPHONE).first()
    if stage is None:
        raise NoMicrophone(f"{chain} has no microphone: choose another chain.")
    return _put(stage, microphone)


@action
def set_up_again(chain: Chain, *, by) -> list[Chain]:
    """Let a chain that was struck stand again; returns those that it takes its place back from. What
    they left otherwise than it was logged is not yet set."""
    revision, replaced = takes_from(chain, in_session_of(chain))
    lock_with_partners(chain, *(each.chain for each in replaced))
    _strike(each.chain for each in replaced)
    chain.struck_at = None
    chain.save(update_fields=["struck_at"])
    found = {place: stage for each in replaced for place, stage in places(each).items()}
    marks = {}
    for place, stage in places(revision).items():
        if place in found:
            left = changed_settings(found[place].settings, stage.settings)
            marks[stage.position] = [key for key in stage.settings if key in left]
    if any(marks.values()):
        newest = claim_newest(revision, seen=Seen.of(revision), by=by)
        for stage in newest.stages.filter(position__in=marks):
            stage.not_yet_set = sorted({*stage.not_yet_set, *marks[stage.position]})
            stage.save(update_fields=["not_yet_set"])
    return [each.chain for each in replaced]


def _strike(chains: Iterable[Chain]) -> None:
    for chain in chains:
        chain.struck_at = chain.struck_at or timezone.now()
        chain.save(update_fields=["struck_at"])


def _put(stage: Stage, unit: Unit) -> Swapped:
    """In an open revision. A supply that belongs with the microphone comes and goes with it."""
    revision = Revision.objects.with_stages().get(pk=stage.revision_id)
    stage = next(each for each in revision.stages.all() if each.pk == stage.pk)
    before, names = stage.unit, PointNames(PatchPoint.objects.for_list())
    swap = _harmless(stage, _swap(stage, unit, names))
    key = next(key for key, each in stage_keys(revision.stages.all()).items() if each == stage)
    lost = [*swap.lost, *_switch_off(revision, stage, unit)]
    if pattern_lost(stage, unit):
        revision.placement.pattern = ""
        revision.placement.save(update_fields=["pattern"])
    _write(stage, swap)
    _carry_pins(revision, key, stage, swap)
    if unit.model.category == Category.MICROPHONE:
        lost += _bring_supply(revision, stage, before, names)
    return Swapped(revision, tuple(lost))


def _swap(stage: Stage, unit: Unit, names: PointNames) -> Swap:
    channel = stage.revision.chain.setup.free_channel(unit, rather=stage.channel)
    panel = unit.model.current_panel()
    return swap_of(stage, unit, panel=panel, channel=channel, names=names)


def _harmless(stage: Stage, swap: Swap) -> Swap:
    """Without 48 V that would reach what it can damage from the unit that is new."""
    trial = Stage(revision=stage.revision, position=stage.position, settings=swap.settings)
    set_facts(trial, **swap.facts)
    if not phantom_on([trial]):
        return swap
    beside = [each for each in in_session_of(stage.revision.chain) if each.chain.is_up]
    own = [each.unit for each in stage.revision.stages.all() if each.pk != stage.pk]
    if not (harmed := phantom_ruling(own).harmed or harmed_through(trial, beside)):
        return swap
    switches = {control.key for control in trial.controls_for(Meaning.PHANTOM)}
    return replace(
        swap,
        settings={key: value for key, value in swap.settings.items() if key not in switches},
        targets={key: new for key, new in swap.targets.items() if new not in switches},
        lost=(*swap.lost, f"48 V on: it can damage {' and '.join(map(str, harmed))}."),
    )


def _write(stage: Stage, swap: Swap) -> None:
    set_facts(stage, **swap.facts, tone_reading_dbu=None, reading_out_dbu=None)
    stage.settings, stage.not_yet_set = swap.settings, sorted(swap.settings)
    stage.save()


def _switch_off(revision: Revision, stage: Stage, unit: Unit) -> list[str]:
    """48 V that would harm a unit of the chain is not carried over, whichever of the two is new."""
    lost = []
    others = [each for each in revision.stages.all() if each.pk != stage.pk]
    if not phantom_ruling([unit]).harmed:
        return lost
    for other in phantom_on(others):
        switches = {control.key for control in other.controls_for(Meaning.PHANTOM)}
        other.set_controls(
            {key: value for key, value in other.settings.items() if key not in switches}
        )
        other.save()
        lost.append(
            f"48 V on at {other.facts.unit}: it can damage {unit}. Log it as off once it is."
        )
    return lost


def _carry_pins(revision: Revision, key: str, stage: Stage, swap: Swap) -> None:
    new = next(k for k, each in stage_keys(revision.stages.all()).items() if each == stage)
    pinned = [
        [new, swap.targets[control]] if of == key else [of, control]
        for of, control in revision.chain.pinned
        if of != key or control in swap.targets
    ]
    Chain.objects.filter(pk=revision.chain_id).update(pinned=pinned)


def _bring_supply(revision: Revision, stage: Stage, before: Unit, names: PointNames) -> list[str]:
    """The line of the place is that of whichever unit comes last, the microphone or its supply."""
    supply = stage.unit.supply
    following = revision.stages.filter(position=stage.position + 1).select_related("unit__model")
    after = following.for_list().first()
    theirs = after if after and before.supply_id == after.unit_id else None
    if theirs and supply == theirs.unit:
        return []
    if theirs and supply:
        swap = _swap(theirs, supply, names)
        _write(theirs, swap)
        return [f"{theirs.unit} takes the place of its supply.", *swap.lost]
    if theirs:
        stage.patch_out = theirs.patch_out
        stage.save(update_fields=["patch_out"])
        delete_stage(theirs)
        return [f"{theirs.unit} is removed: it was the supply of {before}."]
    if supply is None or (after and after.unit_id == supply.pk):
        return []
    line, stage.patch_out = stage.patch_out, None
    stage.save(update_fields=["patch_out"])
    Stage.objects.create(
        revision=revision,
        position=make_room(revision, stage.position + 1),
        unit=supply,
        panel=supply.model.current_panel(),
        path=stage.path,
        patch_out=line,
    )
    return [f"{supply} is added after it: it is its supply."]
