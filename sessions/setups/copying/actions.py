"""What was set up before as a start for what comes next. What is copied stays as it is."""

from django.db.models import Max

from gear.acting import action
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.actions import Seen, add_stage, copy_chain, lock_newest
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import Chain, Setup, Stage


@action
def copy_setup(setup: Setup, *, to: RecordingSession, name: str, by) -> Setup:
    """A setup of the session `to` whose chains start as these stand now, headphones included.

    Parts are kept within the project that they belong to.
    """
    last = to.setups.aggregate(last=Max("position"))["last"] or 0
    copy = Setup.objects.create(
        session=to,
        position=last + 1,
        name=name,
        buffer_samples=setup.buffer_samples,
        note=setup.note,
    )
    keeps_parts = setup.session.project_id == to.project_id
    chains = {
        chain.pk: copy_chain(
            chain,
            to=copy,
            by=by,
            source=chain.source,
            track=chain.track,
            parts=chain.parts.all() if keeps_parts else (),
            destination_input=chain.destination_input,
        )
        for chain in setup.chains.prefetch_related("parts")
    }
    for mix in HeadphoneMix.objects.filter(setup=setup).for_list():
        _copy_mix(mix, to=copy, chains=chains)
    return copy


@action
def copy_stage(stage: Stage, *, to: Chain, by) -> Stage:
    """The same unit, set and patched the same way, at the end of another chain."""
    return add_stage(
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
        note=stage.note,
    )


def _copy_mix(mix: HeadphoneMix, *, to: Setup, chains: dict[int, Chain]) -> None:
    kept = ("position", "name", "box", "output", "level_dba", "minutes_a_day", "note")
    copy = HeadphoneMix.objects.create(setup=to, **{name: getattr(mix, name) for name in kept})
    copy.listeners.set(mix.listeners.all())
    for line in mix.lines.all():
        HeadphoneLine.objects.create(
            mix=copy,
            position=line.position,
            chain=chains[line.chain_id] if line.chain_id else None,
            source=line.source,
            level=line.level,
            pan=line.pan,
        )
