"""The input list of the band day: sixteen inputs, microphones first, as the assistant wrote it."""

from sessions.setups.models import Arrangement, Orientation, Towards
from studio.demo.chains import Line, S, pre, record

DRUMS, BASS, PIANO = ("Drums",), ("Bass",), ("Piano",)
BRASS = ("Cornet", "Trombone", "Euphonium")


def _placed(distance, height, across=None, along=None, **more) -> dict:
    facts = {"distance_cm": distance, "height_cm": height, "orientation": Orientation.UPRIGHT}
    return facts | {"across_cm": across, "along_cm": along} | more


def _culvert(number: int, wall: int, pattern: int) -> S:
    return S(f"MC-0{number}", {"pattern": pattern, "pad": 0}, "", f"Floor {wall}")


def _runnel(number: int, wall: int, low_cut: int) -> S:
    return S(f"MC-1{number}", {"low-cut": low_cut}, "", f"Floor {wall}")


INPUTS = [
    Line(
        "Bass drum",
        "Kick",
        DRUMS,
        [
            S("MD-11", out_of="Floor 1"),
            pre(1, 21, phantom=True),
            S(
                "EQ-01",
                {"low-gain": 3, "low-frequency": 55, "middle-gain": -4, "middle-frequency": 420}
                | {"middle-q": 0.6, "equaliser": 1},  # the rest stands on a photograph
                "Lintel 1 in",
                "Lintel 1 out",
            ),
            record(1),
        ],
        _placed(12, 34, 0, 60, stand="Short boom", note="In the hole of the front head."),
    ),
    Line(
        "Snare drum",
        "Snare",
        DRUMS,
        [S("MD-01", out_of="Floor 2"), pre(2, 27, phantom=True, **{"low-cut": 110}), record(2)],
        _placed(7, 78, 35, 20, stand="Short boom", angle_deg=55, angle_towards=Towards.BELOW),
    ),
    Line(
        "Kit from above, left",
        "OH L",
        DRUMS,
        [_runnel(1, 3, 0), pre(3, 33, phantom=True), record(3)],
        _placed(95, 172, -55, -10, pattern="Cardioid", stand="Tall boom"),
    ),
    Line(
        "Kit from above, right",
        "OH R",
        DRUMS,
        [_runnel(2, 4, 0), pre(4, 33, phantom=True), record(4)],
        _placed(95, 172, 55, -10, pattern="Cardioid", stand="Tall boom"),
    ),
    Line(
        "Bass",
        "Bass DI",
        BASS,
        [
            S("DI-01", {"pad": 0, "ground": 1}, "", "Floor 5", note="Thru to his amplifier."),
            pre(5, 24, phantom=True),
            S(
                "CO-01",
                {"threshold": -6, "ratio": 2.5, "attack": 20, "release": 250}
                | {"side-chain-low-cut": 0, "make-up": 3, "compressor": 1, "gain-reduction": 4},
                "Dry 1 in",
                "Dry 1 out",
            ),
            record(5),
        ],
        more={"taken_by": "Direct"},
    ),
    Line(
        "Bass",
        "Bass Amp",
        BASS,
        [S("MD-02", out_of="Floor 6"), pre(6, 36, phantom=True, pad=0), record(6)],
        _placed(
            15,
            40,
            angle_deg=30,
            angle_towards=Towards.LEFT,
            stand="Short boom",
            note="Behind the long screen.",
        ),
        {"taken_by": "Loudspeaker"},
    ),
    Line(
        "Piano, bass strings",
        "Pno Lo",
        PIANO,
        [_culvert(1, 7, 1), pre(7, 30, phantom=True), record(7)],
        _placed(28, 145, -21, 0, pattern="Omnidirectional", stand="Tall boom"),
    ),
    Line(
        "Piano, treble strings",
        "Pno Hi",
        PIANO,
        [_culvert(2, 8, 1), pre(8, 30, phantom=True), record(8)],
        _placed(28, 145, 21, 0, pattern="Omnidirectional", stand="Tall boom"),
    ),
    Line(
        "Cornet",
        "Cnt",
        ("Cornet",),
        [S("MR-01", out_of="Floor 9"), pre(9, 38, phantom=False), record(9)],
        _placed(
            65,
            138,
            -120,
            0,
            pattern="Figure-of-eight",
            angle_deg=15,
            angle_towards=Towards.RIGHT,
            stand="Tall boom",
        ),
    ),
    Line(
        "Trombone",
        "Tbn",
        ("Trombone",),
        [S("MR-02", out_of="Floor 10"), pre(10, 35, phantom=False), record(10)],
        _placed(
            80,
            120,
            0,
            40,
            pattern="Figure-of-eight",
            angle_deg=20,
            angle_towards=Towards.ABOVE,
            stand="Tall boom",
        ),
    ),
    Line(
        "Euphonium",
        "Euph",
        ("Euphonium",),
        [S("MD-03", out_of="Floor 11"), pre(11, 41, phantom=False), record(11)],
        _placed(
            70,
            165,
            125,
            -5,
            angle_deg=10,
            angle_towards=Towards.BELOW_LEFT,
            stand="Tall boom",
            note="From above the bell.",
        ),
    ),
    Line(
        "Bram, spoken",
        "Spoken",
        ("Spoken verse",),
        [
            S("MV-01"),
            S("SU-01", {"mains": 1, "pattern": 2}, "", "Bread 1", note="On since 9:20."),
            pre(12, 44, phantom=False, **{"low-cut": 45}),
            record(12),
        ],
        _placed(
            18,
            152,
            orientation=Orientation.HUNG,
            pattern="Cardioid",
            pop_filter=True,
            pop_filter_cm=7,
            stand="Tall boom",
            cable="No. 14, 10 m",
            note="Bread Room, script stand to his left.",
        ),
    ),
    Line(
        "Brass, mid",
        "Brs M",
        BRASS,
        [_culvert(3, 13, 0), pre(13, 29, phantom=True), record(13)],
        _placed(210, 205, pattern="Cardioid", stand="Tall boom"),
    ),
    Line(
        "Brass, side",
        "Brs S",
        BRASS,
        [_culvert(4, 14, 2), pre(14, 29, phantom=True), record(14)],
        _placed(210, 212, pattern="Figure-of-eight", note="Left lobe to the cornet."),
    ),
    *[
        Line(
            f"Room, {side}",
            f"Rm {side[0].upper()}",
            (),
            [
                _runnel(number, number + 12, 1),
                pre(number + 12, 40, phantom=True),
                record(number + 12),
            ],
            _placed(
                520,
                330,
                orientation=Orientation.HUNG,
                pattern="Cardioid",
                note="From the tie beam, on a safety line.",
            ),
        )
        for number, side in ((3, "left"), (4, "right"))
    ],
]
# Who plays what: performer, and what else is known of it
SOURCES = {
    "Bass drum": {
        "performer": "Teo Larkrise",
        "place": "Rope Floor, back wall, facing the slipway door",
        "instrument": "The house’s 22-inch",
        "note": "Felt beater.",
    },
    "Snare drum": {
        "performer": "Teo Larkrise",
        "place": "Rope Floor, back wall, facing the slipway door",
        "instrument": "His own, brass shell",
        "note": "Coated head, wallet on it in Slow the Lantern.",
    },
    "Bass": {
        "performer": "Gwil Hanniford",
        "place": "Rope Floor, on a stool right of the drums",
        "instrument": "His own, four strings, flat-wound",
        "tuning_hz": 442,
        "amplifier": "AM-01",
        "settings": {"volume": 3, "low": 1, "middle": -1, "high": 0, "loudspeakers": 1},
        "note": "Plays with his thumb in Neap and Spring.",
    },
    "Cornet": {
        "performer": "Ludo Tranter",
        "place": "Left of the three brass, seen from the mid/side pair",
        "instrument": "His own, in B flat",
        "tuning_hz": 442,
    },
    "Trombone": {
        "performer": "Mina Sprigge",
        "place": "Middle of the three brass, a step back",
        "instrument": "Tenor, her own",
        "tuning_hz": 442,
    },
    "Euphonium": {
        "performer": "Osric Paull",
        "place": "Right of the three brass, seated",
        "instrument": "Four valves, the band room’s",
        "tuning_hz": 442,
    },
    "Bram, spoken": {
        "performer": "Bram Hawse",
        "place": "Bread Room, standing, back to the window",
        "instrument": "Voice",
    },
    "Piano, bass strings": {
        "performer": "Ada Fenwright",
        "instrument": "The house’s grand, lid on the long stick",
        "tuning_hz": 442,
    },
    "Piano, treble strings": {
        "performer": "Ada Fenwright",
        "instrument": "The house’s grand, lid on the long stick",
        "tuning_hz": 442,
    },
}
# Name, tracks, what it is
GROUPS = [
    ("Drums", ["Kick", "Snare", "OH L", "OH R"], {}),
    (
        "Piano",
        ["Pno Lo", "Pno Hi"],
        {"arrangement": Arrangement.SPACED, "spacing_cm": 42},
    ),
    ("Brass line", ["Cnt", "Tbn", "Euph"], {}),
    ("Brass from the front", ["Brs M", "Brs S"], {"arrangement": Arrangement.MID_SIDE}),
    (
        "Room",
        ["Rm L", "Rm R"],
        {"arrangement": Arrangement.SPACED, "spacing_cm": 260},
    ),
]
