"""What was set up before as a start for what comes next. What is copied stays as it is."""

from dataclasses import dataclass
from typing import Generic, TypeVar

from django.db.models import Max

from gear.acting import action
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.actions import Seen, add_stage, copy_chain, lock_newest
from sessions.setups.chains.actions.harm import leave_out_what_harms
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import Chain, ChainGroup, Setup, Stage

#: What a chain records, and where it stands in its group.
RECORDS = ("taken_by", "track", "destination_input", "summed_at", "seat", "struck_at")


Thing = TypeVar("Thing")


@dataclass(frozen=True)
class Copied(Generic[Thing]):
    """`left_out`: what was not copied, in words."""

    copy: Thing
    left_out: list[str]


@action
def copy_setup(setup: Setup, *, to: RecordingSession, name: str, by) -> Copied[Setup]:
    """A setup of the session `to` whose chains start as these stand now, headphones included.

    Parts are kept within the project that they belong to.
    """
    last = to.setups.aggregate(last=Max("position"))["last"] or 0
    copy = Setup.objects.create(
        session=to,
        position=last + 1,
        name=name,
        buffer_samples=setup.buffer_samples,
        clock_master=setup.clock_master,
        click=setup.click,
        count_in_bars=setup.count_in_bars,
        note=setup.note,
    )
    groups = {group.pk: _copy_group(group, to=copy) for group in setup.groups.all()}
    keeps_parts = setup.session.project_id == to.project_id
    chains = {
        chain.pk: copy_chain(
            chain,
            to=copy,
            by=by,
            parts=chain.parts.all() if keeps_parts else (),
            source=chain.source.name,
            group=groups.get(chain.group_id),
            **{name: getattr(chain, name) for name in RECORDS},
        )
        for chain in setup.chains.prefetch_related("parts")
    }
    left_out = leave_out_what_harms(chains.values())
    for source in copy.sources.filter(played_from__in=chains):
        source.played_from = chains[source.played_from_id]
        source.save()
    for mix in HeadphoneMix.objects.filter(setup=setup).for_list():
        _copy_mix(mix, to=copy, chains=chains, listeners=mix.listeners.all())
    return Copied(copy, left_out)


@action
def copy_chain_alone(chain: Chain, *, to: Setup, by, **facts) -> Copied[Chain]:
    """A chain that starts as this one stands; `facts` as `copy_chain` takes them."""
    copy = copy_chain(chain, to=to, by=by, **facts)
    return Copied(copy, leave_out_what_harms([copy]))


@action
def copy_mix(mix: HeadphoneMix, *, to: Setup, name: str, listeners, by) -> HeadphoneMix:
    """The same mix for other listeners, in the same setup or in another, whose chains of the same
    source and track take the place of these."""
    there = {(chain.source.name, chain.track): chain for chain in to.chains.all()}
    chains = {
        chain.pk: there[chain.source.name, chain.track]
        for chain in mix.setup.chains.all()
        if (chain.source.name, chain.track) in there
    }
    last = to.headphone_mixes.aggregate(last=Max("position"))["last"] or 0
    facts = {"name": name, "position": last + 1}
    return _copy_mix(mix, to=to, chains=chains, listeners=listeners, **facts)


@action
def copy_stage(stage: Stage, *, to: Chain, by) -> Copied[Stage]:
    """The same unit at the end of another chain, patched the same way and to be set the same way."""
    copy = add_stage(
        to,
        seen=Seen.of(lock_newest(to)),
        by=by,
        unit=stage.unit,
        channel=to.setup.free_channel(stage.unit),
        panel=stage.panel,
        path=stage.path,
        settings=dict(stage.settings),
        patch_in=stage.patch_in,
        patch_out=stage.patch_out,
        cord_cm=stage.cord_cm,
        note=stage.note,
    )
    copy.begin_as_copy()
    copy.save()
    left_out = leave_out_what_harms([to])
    copy.refresh_from_db()
    return Copied(copy, left_out)


def _copy_group(group: ChainGroup, *, to: Setup) -> ChainGroup:
    kept = ("name", "arrangement", "spacing_cm", "included_angle_deg", "is_matched", "note")
    return ChainGroup.objects.create(setup=to, **{name: getattr(group, name) for name in kept})


def _copy_mix(
    mix: HeadphoneMix, *, to: Setup, chains: dict[int, Chain], listeners, **facts
) -> HeadphoneMix:
    kept = ("position", "name", "box", "output", "level_dba", "minutes_a_day", "note")
    facts = {name: getattr(mix, name) for name in kept} | facts
    copy = HeadphoneMix.objects.create(setup=to, **facts)
    copy.listeners.set(listeners)
    for line in mix.lines.all():
        chain = chains.get(line.chain_id)
        HeadphoneLine.objects.create(
            mix=copy,
            position=line.position,
            chain=chain,
            source="" if chain else line.heard,
            level=line.level,
            pan=line.pan,
        )
    return copy
