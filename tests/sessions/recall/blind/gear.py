"""What the song is recorded through: units with their panels, wired to the bays."""

from gear.equipment.models import Category, Phantom, SignalLevel, Transducer, Unit
from tests.factories import GearModelFactory, MicrophoneModelFactory, UnitFactory
from tests.sessions.recall.blind import panels
from tests.sessions.recall.blind.bays import Bays

LONG = "Long Suffering Wharfinger’s Daughter"
RIBBON = {"transducer": Transducer.RIBBON, "phantom": Phantom.HARMFUL}
MOVING_COIL = {"transducer": Transducer.DYNAMIC, "phantom": Phantom.HARMLESS}


def gear(bays: Bays) -> dict[str, Unit]:
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
        "MD-22": MicrophoneModelFactory(name="Thole", **MOVING_COIL),
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
    found = {
        tag: UnitFactory(asset_tag=tag, model=model, serial_number=f"{number:04}-{tag[:2]}")
        for number, (tag, model) in enumerate(units.items(), 4711)
    }
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
