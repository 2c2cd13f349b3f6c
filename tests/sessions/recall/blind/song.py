"""The song that is rebuilt from its paper alone: twelve chains of one setup, one of them changed
between its takes."""

from datetime import timedelta
from decimal import Decimal
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
from tests.sessions.recall.blind.input_lines import AFTERWARDS, GROUPS, SEATS, chains
from tests.sessions.recall.recorded import record

SEED = 15


def recorded_song() -> Song:
    bays, chance = Bays(), Random(SEED)
    units, by = gear(bays), UserFactory()
    song = SongFactory(title="Slow the Lantern", note="")
    session = RecordingSessionFactory(project=song.project, status=Status.UNDER_WAY)
    setup = SetupFactory(session=session, name="Everybody at once")
    another = RecordingSessionFactory(
        project=song.project, starts_at=session.starts_at + timedelta(days=1)
    )
    afterwards = SetupFactory(session=another, name="Brass")
    revisions = {
        line[1]: _revision(
            afterwards if line[1] in AFTERWARDS else setup,
            song,
            place,
            line,
            units=units,
            bays=bays,
            chance=chance,
        )
        for place, line in enumerate(chains(), 1)
    }
    _amplifier(setup, units["AM-21"], chance)
    _groups()
    _take(1, session, [each for track, each in revisions.items() if track not in AFTERWARDS])
    _take(2, session, [_changed(revisions["Sn"].chain, by=by)])
    _take(3, another, [revisions[track] for track in AFTERWARDS])
    return Song.objects.select_related("project__client").get(pk=song.pk)


def _take(number: int, session, revisions: list[Revision]) -> None:
    parts = [part for revision in revisions for part in revision.chain.parts.all()]
    record(TakeFactory(parts=parts, session=session, number=number, circled=True), *revisions)


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
            reading_out_dbu=_read(chance),
            tone_reading_dbu=_read(chance),
            note=on.note,
        )
    if placement:
        Placement.objects.create(revision=revision, **placement)
    return revision


def _read(chance: Random) -> Decimal | None:
    return Decimal(chance.randint(-400, 90)) / 10 if chance.random() < 0.6 else None


def _amplifier(setup, unit, chance) -> None:
    source = setup.sources.get(name="Bass amplifier")
    source.amplifier, source.panel = unit, unit.model.current_panel()
    source.settings = panels.turned(source.panel, chance, Bass=7.5)
    source.save()


def _groups() -> None:
    for name, (tracks, arrangement, facts) in GROUPS.items():
        ours = Chain.objects.filter(track__in=tracks)
        group = ChainGroup.objects.create(
            setup=ours[0].setup, name=name, arrangement=arrangement, **facts
        )
        for track, seat in zip(tracks, SEATS[arrangement], strict=True):
            ours.filter(track=track).update(group=group, seat=seat)


def _changed(chain: Chain, *, by) -> Revision:
    """What was done to the snare between the takes."""
    revision = open_revision(chain, by=by)
    stage = revision.stages.get(unit__asset_tag="CO-22")
    labels = {control.label: control.key for control in stage.panel.controls.all()}
    stage.settings |= {labels["Threshold"]: -11, labels["Ratio"]: 8}
    stage.save()
    Placement.objects.filter(revision=revision).update(distance_cm="6.5", angle_deg=28)
    return revision
