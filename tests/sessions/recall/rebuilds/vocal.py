"""A lead vocal of Quay Steps as it was recorded: microphone, preamplifier, compressor."""

from decimal import Decimal

from gear.equipment.models import Category
from gear.panels.models import Kind, Meaning
from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.actions import start_rebuild
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.wanted import chains_of_revisions
from sessions.setups.models import Revision
from sessions.songs.models import Song
from tests.factories import (
    ControlFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    PartFactory,
    PlacementFactory,
    RecordingSessionFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.recorded import chain_of, record

OFF_ON = [{"value": 0, "angle": 0, "label": "off"}, {"value": 1, "angle": 1, "label": "on"}]


def preamplifier_model(name="Stile 1", has_meter=False, **facts):
    """Phantom switch and a gain of 0 to 60 dB, five degrees to a dB."""
    model = GearModelFactory(name=name, category=Category.PREAMPLIFIER, **facts)
    panel = PanelFactory(model=model)
    ControlFactory(
        panel=panel,
        position=1,
        key="48-v",
        label="48 V",
        kind=Kind.SWITCH,
        unit="",
        meaning=Meaning.PHANTOM,
        marks=OFF_ON,
    )
    ControlFactory(panel=panel, position=2, key="gain", label="Gain")
    if has_meter:
        ControlFactory(panel=panel, position=3, key="meter", label="Level", kind=Kind.READING)
    return model


def recorded_vocal(
    *,
    part=None,
    session=None,
    tone=True,
    phantom="needed",
    settings=None,
    microphone=None,
    preamplifier=None,
    spl=None,
    pattern="",
):
    """The circled take's revision: M-01, P-01 at 35 dB with phantom power on; `microphone` and
    `preamplifier` are facts of their models."""
    part = part or PartFactory(name="Lead vocal", song__title="Slow the Lantern")
    session = session or RecordingSessionFactory(project=part.song.project)
    chain = chain_of(
        part, session=session, source="Alto voice", track="Ld Vox", destination_input="Input 1"
    )
    if tone:
        Revision.objects.filter(pk=chain.pk).update(tone_hz=1000, tone_dbu=-40)
    Revision.objects.filter(pk=chain.pk).update(source_spl_db=spl)
    model = MicrophoneModelFactory(phantom=phantom, **(microphone or {}))
    microphone = UnitFactory(model=model, asset_tag="M-01")
    StageFactory(revision=chain, position=1, unit=microphone, panel=None)
    preamplifier = UnitFactory(model=preamplifier_model(**(preamplifier or {})), asset_tag="P-01")
    StageFactory(
        revision=chain,
        position=2,
        unit=preamplifier,
        panel=preamplifier.model.current_panel(),
        settings=settings or {"48-v": 1, "gain": 35},
        tone_reading_dbu=Decimal("-5") if tone else None,
    )
    PlacementFactory(
        revision=chain,
        distance_cm=22,
        note="From slightly above",
        **({"pattern": pattern} if pattern else {}),
    )
    take = TakeFactory(part=part, session=session, circled=True)
    record(take, chain)
    return chain


def started(revision, by, **more) -> Rebuild:
    """A rebuild of all chains behind the song's chosen takes."""
    song = Song.objects.select_related("project__client").get(pk=revision.chain.parts.get().song_id)
    chains = chains_of_revisions(chain.revision for chain in recall_sheet(song).chains)
    return start_rebuild(song, chains=chains, by=by, **more)


def step_at(rebuild, position: int) -> RebuildStep:
    return rebuild.steps.get(chain_number=1, position=position)
