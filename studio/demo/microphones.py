"""The studio's microphones. Makers and models are invented and sound like nobody's."""

from gear.equipment.models import Category, Phantom, Transducer
from gear.panels.models import Kind, Meaning
from studio.demo.told import INSTRUMENT, MIC, OFF_ON, C, M

_CUPBOARD = "Microphone cupboard"
_CONDENSER = {
    "transducer": Transducer.CONDENSER,
    "phantom": Phantom.NEEDED,
    "output_level": MIC,
}
_MOVING_COIL = {"transducer": Transducer.DYNAMIC, "output_level": MIC}

MICROPHONES = [
    M(
        "Ullage Works",
        "Firkin",
        Category.MICROPHONE,
        ["MD-01", "MD-02", "MD-03", "MD-04"],
        _MOVING_COIL | {"sensitivity_mv_pa": "1.6", "max_spl_db": 148, "output_impedance_ohm": 290},
        rack=_CUPBOARD,
    ),
    M(
        "Ullage Works",
        "Puncheon",
        Category.MICROPHONE,
        ["MD-11"],
        _MOVING_COIL | {"sensitivity_mv_pa": "1.2", "max_spl_db": 152, "output_impedance_ohm": 220},
        rack=_CUPBOARD,
    ),
    M(
        "Ullage Works",
        "Tierce",
        Category.MICROPHONE,
        ["MR-01", "MR-02"],
        {
            "transducer": Transducer.RIBBON,
            "phantom": Phantom.HARMFUL,
            "sensitivity_mv_pa": "1.9",
            "max_spl_db": 133,
            "output_impedance_ohm": 270,
            "output_level": MIC,
        },
        rack=_CUPBOARD,
    ),
    M(
        "Skerrow Acoustic",
        "Culvert",
        Category.MICROPHONE,
        ["MC-01", "MC-02", "MC-03", "MC-04"],
        _CONDENSER
        | {
            "sensitivity_mv_pa": 18,
            "self_noise_dba": 11,
            "max_spl_db": 129,
            "output_impedance_ohm": 130,
        },
        [
            C(
                "Pattern",
                "0 = cardioid, 1 = omni, 2 = eight",
                Meaning.PATTERN,
                kind=Kind.SWITCH,
            ),
            C("Pad", "0 = out, -12 = -12 dB", Meaning.PAD, kind=Kind.SWITCH, unit="dB"),
        ],
        rack=_CUPBOARD,
    ),
    M(
        "Skerrow Acoustic",
        "Runnel",
        Category.MICROPHONE,
        ["MC-11", "MC-12", "MC-13", "MC-14"],
        _CONDENSER
        | {
            "sensitivity_mv_pa": 13,
            "self_noise_dba": 16,
            "max_spl_db": 136,
            "output_impedance_ohm": 110,
        },
        [C("Low cut", "0 = flat, 1 = 55 Hz", Meaning.FILTER_FREQUENCY, kind=Kind.SWITCH)],
        rack=_CUPBOARD,
    ),
    M(
        "Skerrow Acoustic",
        "Weir",
        Category.MICROPHONE,
        ["MV-01"],
        {
            "transducer": Transducer.VALVE,
            "phantom": Phantom.HARMFUL,
            "own_supply": True,
            "warm_up_minutes": 25,
            "sensitivity_mv_pa": 11,
            "self_noise_dba": 14,
            "max_spl_db": 126,
            "output_impedance_ohm": 180,
            "output_level": MIC,
        },
        rack=_CUPBOARD,
    ),
    M(
        "Skerrow Acoustic",
        "Weir Supply",
        Category.SUPPLY,
        ["SU-01"],
        {"phantom": Phantom.HARMFUL, "input_level": MIC, "output_level": MIC},
        [
            C("Mains", OFF_ON, Meaning.POWER, kind=Kind.SWITCH),
            C(
                "Pattern",
                "0 @ 9:00 = omni, 1 @ 11:00 = wide cardioid, 2 @ 1:00 = cardioid, 3 @ 3:00 = eight",
                Meaning.PATTERN,
                kind=Kind.STEPPED,
            ),
        ],
        rack="Floor",
    ),
    M(
        "Ullage Works",
        "Spigot",
        Category.DI_BOX,
        ["DI-01", "DI-02"],
        {
            "phantom": Phantom.NEEDED,
            "input_level": INSTRUMENT,
            "output_level": MIC,
            "max_input_dbu": 12,
            "max_output_dbu": -6,
        },
        [
            C("Pad", "0 = out, -18 = -18 dB", Meaning.PAD, kind=Kind.SWITCH, unit="dB"),
            C("Ground", "0 = joined, 1 = lifted", kind=Kind.SWITCH),
        ],
        rack="Cable wall",
    ),
]
