"""The song that is rebuilt from its paper alone: twelve chains of one setup, one of them changed
between its takes.

    A1 ==normal== B1 pre C1 == C13 equaliser == compressor == mult E: D1 record, and a room effect
    A5, A6 .. D5, D6: the pair over the drums, by the normals alone
    A2 .. pre C2 == compressor == D2: the snare, whose second take has other settings and another place
    A3 .. D3: a direct box, which nobody placed
    A8 == B9: a ribbon before an amplifier of the house; breaks the normals on both bays
    A7 == B13 splitter: A13 == B7 and A14 == B8, one microphone on two tracks by one cord
    A9 == B10, A10 == B11: a mid/side pair in another room
    A4 .. C4 == strip 1 == D4, A11 == B12 .. C12 == strip 2 == D12: two of a group, with faders
"""

from dataclasses import dataclass, field
from random import Random

from gear.equipment.models import Category, Phantom, SignalLevel, Transducer
from sessions.bookings.models import Status
from sessions.setups.chains.actions import open_revision
from sessions.setups.models import (
    Arrangement,
    Chain,
    ChainGroup,
    Orientation,
    Path,
    Placement,
    Revision,
    Seat,
)
from sessions.songs.models import Song
from tests.factories import (
    ChainFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
    UserFactory,
)
from tests.sessions.recall.blind import panels
from tests.sessions.recall.blind.bays import Bays
from tests.sessions.recall.recorded import record

LONG = "Long Suffering Wharfinger’s Daughter"
SEED = 15
RIBBON = {"transducer": Transducer.RIBBON, "phantom": Phantom.HARMFUL}
MOVING_COIL = {"transducer": Transducer.DYNAMIC, "phantom": Phantom.HARMLESS}


@dataclass(frozen=True)
class On:
    """A stage: unit, channel, the places that it is patched at, and settings by label."""

    tag: str
    into: str | None = None
    out_of: str | None = None
    channel: int | None = None
    path: str = Path.PRINTED
    given: dict = field(default_factory=dict)
    note: str = ""


def pre(number: int, *, phantom: int, out_of: str | None = None) -> On:
    """A channel of the two preamplifiers, by the number of its input at the bay."""
    tag, channel = ("PR-21", number) if number <= 8 else ("PR-22", number - 8)
    return On(tag, f"B{number}", out_of or f"C{number}", channel, given={"48 V": phantom})


def record_on(number: int) -> On:
    return On("AD-21", f"D{number}", None, number, given={"Full scale": 18})


def gear(bays: Bays) -> dict:
    """Units by tag; their panels follow from their models."""
    line = {"input_level": SignalLevel.LINE}
    units = {
        "MV-21": MicrophoneModelFactory(
            name=f"{LONG} with the Brass Grille",
            transducer=Transducer.VALVE,
            phantom=Phantom.HARMFUL,
            own_supply=True,
            warm_up_minutes=25,
        ),
        "MD-21": MicrophoneModelFactory(name="Bollard", **MOVING_COIL),
        "MD-22": MicrophoneModelFactory(name="Fender", **MOVING_COIL),
        "MR-21": MicrophoneModelFactory(name="Riband", **RIBBON),
        "MR-22": MicrophoneModelFactory(name="Tidewrack", **RIBBON),
        "MC-23": MicrophoneModelFactory(name="Samphire"),
        "MC-24": MicrophoneModelFactory(name="Marram"),
        "MC-25": MicrophoneModelFactory(name="Thrift"),
        "SU-21": GearModelFactory(
            name="Supply",
            category=Category.SUPPLY,
            output_level=SignalLevel.MICROPHONE,
            warm_up_minutes=20,
        ),
        "DI-21": GearModelFactory(
            name="Lighter",
            category=Category.DI_BOX,
            input_level=SignalLevel.INSTRUMENT,
            output_level=SignalLevel.MICROPHONE,
        ),
        "PR-21": GearModelFactory(name="Stile of Eight", channels=8, phantom_bank=4),
        "PR-22": GearModelFactory(
            maker="Thornback, Gannet & Daughters of Oakum Row", name=LONG, channels=4
        ),
        "EQ-21": GearModelFactory(name="Lintel", category=Category.EQUALISER, **line),
        "CO-21": GearModelFactory(name="Drystone", category=Category.COMPRESSOR, **line),
        "MX-21": GearModelFactory(name="Causeway", category=Category.CHANNEL, channels=2, **line),
        "FX-21": GearModelFactory(name="Undercroft", category=Category.EFFECT, **line),
        "SP-21": GearModelFactory(
            name="Fork", category=Category.SPLITTER, output_level=SignalLevel.MICROPHONE
        ),
        "AD-21": GearModelFactory(name="Bract", category=Category.CONVERTER, channels=12, **line),
        "AM-21": GearModelFactory(
            name="Hawser",
            category=Category.AMPLIFIER,
            input_level=SignalLevel.INSTRUMENT,
            output_level="",
        ),
    }
    found = {tag: UnitFactory(asset_tag=tag, model=model) for tag, model in units.items()}
    found |= {
        "MC-21": UnitFactory(asset_tag="MC-21", model=found["MC-24"].model),
        "MC-22": UnitFactory(asset_tag="MC-22", model=found["MC-24"].model),
        "CO-22": UnitFactory(asset_tag="CO-22", model=found["CO-21"].model),
    }
    found["MV-21"].supply = found["SU-21"]
    found["MV-21"].save()
    _engrave(found)
    _wire(bays, found)
    return found


def _engrave(units: dict) -> None:
    for tag, controls in {
        "SU-21": panels.SUPPLY,
        "PR-21": panels.PREAMPLIFIER,
        "PR-22": panels.PREAMPLIFIER,
        "EQ-21": panels.EQUALISER,
        "CO-21": panels.COMPRESSOR,
        "MX-21": panels.STRIP,
        "FX-21": panels.EFFECT,
        "SP-21": panels.SPLITTER,
        "AD-21": panels.CONVERTER,
        "AM-21": panels.AMPLIFIER,
    }.items():
        panels.engrave(units[tag].model, controls)


def _wire(bays: Bays, units: dict) -> None:
    for number in range(1, 13):
        unit, channel = (units["PR-21"], number) if number <= 8 else (units["PR-22"], number - 8)
        bays.wire(f"B{number}", unit, channel)
        bays.wire(f"C{number}", unit, channel)
        bays.wire(f"D{number}", units["AD-21"], number)
    for number, (tag, channel) in enumerate(
        [
            ("EQ-21", None),
            ("CO-21", None),
            ("FX-21", None),
            ("CO-22", None),
            ("MX-21", 1),
            ("MX-21", 2),
        ],
        13,
    ):
        bays.wire(f"C{number}", units[tag], channel)
        bays.wire(f"D{number}", units[tag], channel)
    bays.wire("B13", units["SP-21"])
    bays.wire("A13", units["SP-21"])
    bays.wire("A14", units["SP-21"])


SOURCES = [
    "Lead vocal",
    "Kit",
    "Snare",
    "Bass",
    "Bass amplifier",
    "Fiddle",
    "Room",
    "Cornet",
    "Euphonium",
]


def chains() -> list[tuple[str, str, list[On], dict]]:
    """Source, track, stages and placement."""
    return [
        (
            "Lead vocal",
            "Lead vocal of the second verse, whispered, close",
            [
                On("MV-21", note="Gain 12 dB stood on the sheet of the other day; not so here."),
                On("SU-21", None, "A1"),
                pre(1, phantom=0),
                On("EQ-21", "D13", "C13"),
                On("CO-21", "D14", "E2"),
                On("FX-21", "D15", None, path=Path.MONITOR_ONLY, note="For her headphones only."),
                record_on(1),
            ],
            {
                "distance_cm": "22.5",
                "height_cm": 158,
                "angle_deg": "-12.5",
                "pop_filter": True,
                "pop_filter_cm": "8.5",
                "orientation": Orientation.HUNG,
                "pattern": "cardioid",
                "stand": "tall boom, counterweighted",
                "note": "Capsule level with her eyes; height 12 cm was tried and was worse.",
            },
        ),
        (
            "Kit",
            "OH L",
            [On("MC-21", None, "A5"), pre(5, phantom=1), record_on(5)],
            {
                "distance_cm": 110,
                "height_cm": 196,
                "angle_deg": 0,
                "orientation": Orientation.HUNG,
                "pattern": "omnidirectional",
                "stand": "overhead beam",
            },
        ),
        (
            "Kit",
            "OH R",
            [On("MC-22", None, "A6"), pre(6, phantom=1), record_on(6)],
            {
                "distance_cm": 111,
                "height_cm": "196.5",
                "angle_deg": 5,
                "orientation": Orientation.HUNG,
                "pattern": "omnidirectional",
            },
        ),
        (
            "Snare",
            "Sn",
            [
                On("MD-21", None, "A2"),
                pre(2, phantom=0),
                On("CO-22", "D16", "C16", given={"Threshold": -14.5, "Ratio": 4}),
                record_on(2),
            ],
            {
                "distance_cm": 4,
                "angle_deg": 35,
                "orientation": Orientation.SIDEWAYS,
                "pattern": "cardioid",
                "stand": "clip",
            },
        ),
        ("Bass", "Bass DI", [On("DI-21", None, "A3"), pre(3, phantom=0), record_on(3)], {}),
        (
            "Bass amplifier",
            "Bass amp",
            [On("MR-21", None, "A8"), pre(9, phantom=0), record_on(9)],
            {
                "distance_cm": 30,
                "height_cm": 40,
                "angle_deg": 20,
                "pattern": "figure of eight",
                "orientation": Orientation.UPRIGHT,
                "stand": "short",
            },
        ),
        (
            "Fiddle",
            "Fdl",
            [
                On("MC-23", None, "A7"),
                On("SP-21", "B13", "A13", given={"Output taken": 0}),
                pre(7, phantom=1),
                record_on(7),
            ],
            {
                "distance_cm": 45,
                "height_cm": 190,
                "angle_deg": -40,
                "pattern": "wide cardioid",
                "orientation": Orientation.UPRIGHT,
            },
        ),
        (
            "Fiddle",
            "Fdl safety",
            [
                On("MC-23", None, "A7"),
                On("SP-21", "B13", "A14", given={"Output taken": 1}),
                pre(8, phantom=1),
                record_on(8),
            ],
            {
                "distance_cm": 45,
                "height_cm": 190,
                "angle_deg": -40,
                "pattern": "wide cardioid",
                "orientation": Orientation.UPRIGHT,
            },
        ),
        (
            "Room",
            "Room M",
            [On("MC-25", None, "A9"), pre(10, phantom=1), record_on(10)],
            {
                "distance_cm": 420,
                "height_cm": 240,
                "pattern": "cardioid",
                "orientation": Orientation.UPRIGHT,
            },
        ),
        (
            "Room",
            "Room S",
            [On("MR-22", None, "A10"), pre(11, phantom=0), record_on(11)],
            {
                "distance_cm": 420,
                "height_cm": 255,
                "angle_deg": 90,
                "pattern": "figure of eight",
                "orientation": Orientation.HUNG,
                "stand": "from the gallery rail",
            },
        ),
        (
            "Cornet",
            "Cnt",
            [
                On("MD-22", None, "A4"),
                pre(4, phantom=0),
                On("MX-21", "D17", "C17", 1),
                record_on(4),
            ],
            {
                "distance_cm": 60,
                "height_cm": 120,
                "across_cm": -85,
                "along_cm": 40,
                "orientation": Orientation.UPRIGHT,
                "pop_filter": True,
            },
        ),
        (
            "Euphonium",
            "Euph",
            [
                On("MC-24", None, "A11"),
                pre(12, phantom=1),
                On("MX-21", "D18", "C18", 2),
                record_on(12),
            ],
            {
                "distance_cm": 75,
                "height_cm": "142.5",
                "across_cm": "70.5",
                "along_cm": -25,
                "orientation": Orientation.UPRIGHT,
                "pattern": "cardioid",
            },
        ),
    ]


GROUPS = {
    "Overheads": (
        ["OH L", "OH R"],
        Arrangement.SPACED,
        {"spacing_cm": 62, "included_angle_deg": 15},
    ),
    "Cistern pair": (["Room M", "Room S"], Arrangement.MID_SIDE, {}),
    "Brass": (["Cnt", "Euph"], Arrangement.GROUP, {}),
}
SEATS = {
    Arrangement.SPACED: (Seat.LEFT, Seat.RIGHT),
    Arrangement.MID_SIDE: (Seat.MID, Seat.SIDE),
    Arrangement.GROUP: ("", ""),
}


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
