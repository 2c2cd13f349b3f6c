"""The song that is rebuilt from its paper alone: twelve chains of one setup, one of them changed
between its takes."""

from random import Random

from sessions.bookings.models import Status
from sessions.setups.chains.actions import open_revision
from sessions.setups.models import Chain, ChainGroup, Placement, Revision
from sessions.songs.models import Song
from tests.factories import (
    ChainFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
    UserFactory,
)
from tests.sessions.recall.blind import panels
from tests.sessions.recall.blind.bays import Bays
from tests.sessions.recall.blind.gear import gear
from tests.sessions.recall.blind.input_lines import GROUPS, SEATS, chains
from tests.sessions.recall.recorded import record

SEED = 15


def recorded_song() -> Song:
    bays, chance = Bays(), Random(SEED)
    units, by = gear(bays), UserFactory()
    song = SongFactory(title="Slow the Lantern", note="")
    session = RecordingSessionFactory(project=song.project, status=Status.UNDER_WAY)
    setup = SetupFactory(session=session, name="Everybody at once")
    revisions = [
        _revision(setup, song, place, line, units=units, bays=bays, chance=chance)
        for place, line in enumerate(chains(), 1)
    ]
    _amplifier(setup, units["AM-21"], chance)
    _groups(setup)
    parts = list(song.parts.all())
    record(TakeFactory(parts=parts, session=session, number=1, circled=True), *revisions)
    [snare] = [revision.chain for revision in revisions if revision.chain.track == "Sn"]
    changed = _changed(snare, by=by)
    take = TakeFactory(parts=snare.parts.all(), session=session, number=2, circled=True)
    record(take, changed)
    return Song.objects.select_related("project__client").get(pk=song.pk)


def _revision(setup, song, place, line, *, units, bays, chance) -> Revision:
    source, track, stages, placement = line
    chain = ChainFactory(
        setup=setup,
        source=source,
        track=track,
        position=place,
        destination_input=f"Input {place}",
        part=PartFactory(song=song, name=f"Part of {track[:40]}"),
    )
    revision = RevisionFactory(chain=chain)
    for position, on in enumerate(stages, 1):
        unit = units[on.tag]
        panel = unit.model.current_panel()
        settings = panels.turned(panel, chance, **on.given) if panel else {}
        StageFactory(
            revision=revision,
            position=position,
            unit=unit,
            channel=on.channel,
            panel=panel,
            path=on.path,
            patch_in=bays[on.into],
            patch_out=bays[on.out_of],
            settings=settings,
            not_yet_set=list(settings)[:1] if on.tag == "FX-21" else [],
            note=on.note,
        )
    if placement:
        Placement.objects.create(revision=revision, **placement)
    return revision


def _amplifier(setup, unit, chance) -> None:
    source = setup.sources.get(name="Bass amplifier")
    source.amplifier, source.panel = unit, unit.model.current_panel()
    source.settings = panels.turned(source.panel, chance, Bass=7.5)
    source.save()


def _groups(setup) -> None:
    for name, (tracks, arrangement, facts) in GROUPS.items():
        group = ChainGroup.objects.create(setup=setup, name=name, arrangement=arrangement, **facts)
        for track, seat in zip(tracks, SEATS[arrangement], strict=True):
            Chain.objects.filter(setup=setup, track=track).update(group=group, seat=seat)


def _changed(chain: Chain, *, by) -> Revision:
    """What was done to the snare between the takes."""
    revision = open_revision(chain, by=by)
    stage = revision.stages.get(unit__asset_tag="CO-22")
    labels = {control.label: control.key for control in stage.panel.controls.all()}
    stage.settings |= {labels["Threshold"]: -11, labels["Ratio"]: 8}
    stage.save()
    Placement.objects.filter(revision=revision).update(distance_cm="6.5", angle_deg=28)
    return revision
