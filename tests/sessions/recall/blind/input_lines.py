"""The song's chains as its engineer would list them: source, track, units in order, placement.

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

from sessions.setups.models import Arrangement, Orientation, Path, Seat, Towards


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
                "angle_deg": "12.5",
                "angle_towards": Towards.BELOW_LEFT,
                "cable": "no. 14, blue, 10 m",
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
                "angle_towards": Towards.RIGHT,
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
                "angle_deg": 40,
                "angle_towards": Towards.ABOVE,
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
                On("MX-21", "D18", "C18", 2),
                record_on(8),
            ],
            {
                "distance_cm": 45,
                "height_cm": 190,
                "angle_deg": 40,
                "angle_towards": Towards.ABOVE,
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
                On("MD-22", None, "A2"),
                pre(2, phantom=0),
                On("CO-22", "D16", "C16"),
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
                On("MC-24", None, "A9"),
                pre(10, phantom=1),
                record_on(10),
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
#: Those that were recorded in another session, when the others were struck.
AFTERWARDS = ("Cnt", "Euph")
