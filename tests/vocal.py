"""A voice through every kind of unit that the demo's racks hold, for tests that need a long chain."""

from sessions.setups.models import Chain, Path
from studio.demo.chains import Line, S, pre, record

VOICE = Line(
    "Alto voice",
    "Ld Vox",
    (),
    [
        S("MV-01"),
        S("SU-01", {"mains": 1, "pattern": 2}, "", "Floor 1"),
        pre(1, 35, phantom=False, **{"low-cut": 45}),
        S(
            "EQ-01",
            {"low-gain": -2.5, "low-frequency": 95, "middle-gain": 1.5, "middle-frequency": 1900}
            | {"middle-q": 0.6, "high-gain": 2, "high-frequency": 9000, "equaliser": 1},
            "Lintel 1 in",
            "Lintel 1 out",
        ),
        S(
            "CO-01",
            {"threshold": -6, "ratio": 4, "attack": 20, "release": 250, "side-chain-low-cut": 0}
            | {"make-up": 4, "compressor": 1, "gain-reduction": 3},
            "Dry 1 in",
            "Dry 1 out",
        ),
        S("MX-01", {"trim": 0, "fader": -5, "level": -9}, "Desk 1 in", "Desk 1 out"),
        record(1),
    ],
    {"distance_cm": 22},
)
REVERBERATION = S(
    "FX-01",
    {"pre-delay": 25, "decay": 2.2, "tone": 0},
    "Undercroft in",
    "Undercroft out",
    Path.MONITOR_ONLY,
    "For her headphones; not recorded.",
)


def kept(chain: Chain, tag: str, key: str):
    """What a control of a unit is logged at."""
    return chain.newest_revision().stages.get(unit__asset_tag=tag).settings.get(key)
