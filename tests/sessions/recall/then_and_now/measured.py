"""A lead vocal of Quay Steps, measured while it was recorded, and set up again: microphone, preamplifier and
equaliser, whose outputs stand at a bay, and the converter."""

from datetime import timedelta

from django.utils import timezone

from gear.audio.curves import Band
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import Result
from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.recall.models import Rebuild
from sessions.setups.models import Revision
from tests.factories import (
    BayFactory,
    ControlFactory,
    GearModelFactory,
    MeasurementFactory,
    MicrophoneModelFactory,
    PanelFactory,
    PartFactory,
    PatchPointFactory,
    RecordingSessionFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.factories.bookings import TEN_O_CLOCK
from tests.gear.audio.proving.results import result
from tests.sessions.recall.rebuilds.vocal import preamplifier_model, started
from tests.sessions.recall.recorded import chain_of, record

#: A peak of 3 dB at 3 kHz, as the equaliser was set.
PEAK = Band("peak", 3000.0, 3.0, 1.0)
GAIN_DB = 35
#: 0 dBFS is +18 dBu, in and out; the file’s ceiling comes to -32 dBu behind the pad, and clips nowhere.
PAD_DB, FED_DBU, CEILING_DBFS = 20, -32, -30.0


def equaliser_model(name):
    """One band: gain of -15 to +15 dB, ten degrees to a dB, at 300 Hz to 8 kHz."""
    model = GearModelFactory(name=name, category=Category.EQUALISER, max_input_dbu=24)
    panel = PanelFactory(model=model)
    knobs = [
        ("mid", "Mid", Meaning.BAND_GAIN, "dB", (-15, 0, 15), "linear"),
        ("mid-hz", "Mid frequency", Meaning.BAND_FREQUENCY, "Hz", (300, 1549.2, 8000), "log"),
    ]
    for position, (key, label, meaning, unit, values, scale) in enumerate(knobs, 1):
        marks = [
            {"value": value, "angle": angle, "label": ""}
            for value, angle in zip(values, (-150, 0, 150), strict=True)
        ]
        ControlFactory(
            panel=panel,
            position=position,
            key=key,
            label=label,
            meaning=meaning,
            unit=unit,
            scale=scale,
            marks=marks,
            band=1,
        )
    return model


def measured_vocal(
    *, points=(None,), gain=GAIN_DB, bands=(PEAK,), song=None, double=""
) -> Revision:
    """Recorded by a take; measured up to each of the points while it was set up, None for the converter. With
    units of its own for each double of the voice."""
    song = song or SongFactory(title="Slow the Lantern")
    part = PartFactory(name=f"Lead vocal{double}", song=song)
    session = RecordingSessionFactory(project=part.song.project)
    revision = chain_of(
        part,
        session=session,
        source="Alto voice",
        track=f"Ld Vox{double}",
        destination_input="Input 1",
    )
    microphone = UnitFactory(model=MicrophoneModelFactory(), asset_tag=f"M-01{double}")
    StageFactory(revision=revision, position=1, unit=microphone, panel=None)
    bay = BayFactory(name=f"Bay 1{double}")
    settings = {2: {"48-v": 1, "gain": gain}, 3: {"mid": 3, "mid-hz": 3000}}
    models = {
        2: (preamplifier_model(f"Stile 1{double}"), "P-01"),
        3: (equaliser_model(f"Sluice{double}"), "EQ-01"),
    }
    for position, (model, tag) in models.items():
        unit = UnitFactory(model=model, asset_tag=f"{tag}{double}")
        StageFactory(
            revision=revision,
            position=position,
            unit=unit,
            panel=model.current_panel(),
            settings=settings[position],
            patch_out=PatchPointFactory(unit=unit, bay=bay, label=f"{tag} out"),
        )
    converter = GearModelFactory(name=f"Weir{double}", category=Category.CONVERTER)
    unit = UnitFactory(model=converter, asset_tag=f"AD-01{double}")
    StageFactory(revision=revision, position=4, unit=unit, panel=None)
    for up_to in points:
        measured_then(revision, up_to=up_to, gain=gain, bands=() if up_to == 2 else bands)
    take = TakeFactory(part=part, session=session, circled=True)
    record(take, revision)
    return revision


def measured_then(revision: Revision, *, up_to=None, gain=GAIN_DB, bands=(PEAK,)):
    return _measurement(
        through(gain, bands), revision=revision, up_to=up_to, measured_at=TEN_O_CLOCK
    )


def measured_now(
    rebuild: Rebuild, found: Result | None = None, *, chain=1, up_to=None, ago=0, **facts
):
    """ago: minutes before now."""
    return _measurement(
        found or through(GAIN_DB, (PEAK,)),
        revision=None,
        rebuild=rebuild,
        chain_number=chain,
        up_to=up_to,
        measured_at=timezone.now() - timedelta(minutes=ago),
        **facts,
    )


def through(gain: float, bands=(PEAK,), **facts) -> Result:
    """In dBFS, as it is recorded: the pad takes its share off."""
    return result(gain=gain - PAD_DB, bands=bands, **facts)


def rebuilt(by, **more) -> Rebuild:
    """Of the vocal, with its own units."""
    return started(measured_vocal(**more), by)


def _measurement(found: Result, **facts):
    facts = {"plan": Plan(48_000, CEILING_DBFS).as_json()} | facts
    return MeasurementFactory(result=found.as_json(), pad_db=PAD_DB, fed_dbu=FED_DBU, **facts)
