"""Quay Steps's microphones. Makers and models are invented and sound like nobody's."""

from gear.equipment.models import Category, Phantom, Transducer
from gear.panels.models import Kind, Meaning
from studio.demo.told import MIC, OFF_ON, C, M

MICROPHONES = [
    M(
        "Skerrow Acoustic",
        "Weir 12",
        Category.MICROPHONE,
        ["M-01"],
        {
            "transducer": Transducer.VALVE,
            "phantom": Phantom.HARMFUL,
            "own_supply": True,
            "warm_up_minutes": 30,
            "sensitivity_mv_pa": 14,
            "self_noise_dba": 12,
            "max_spl_db": 128,
            "output_impedance_ohm": 200,
            "output_level": MIC,
        },
        [C("Low cut", "0 = flat, 1 = 60 Hz", Meaning.FILTER_FREQUENCY, kind=Kind.SWITCH)],
        rack="Microphone cupboard",
    ),
    M(
        "Skerrow Acoustic",
        "Weir Supply",
        Category.SUPPLY,
        ["S-01"],
        {"phantom": Phantom.HARMFUL, "input_level": MIC, "output_level": MIC},
        [
            C("Power", OFF_ON, Meaning.POWER, kind=Kind.SWITCH),
            C(
                "Pattern",
                "0 @ 7:30 = omni, 1 @ 9:00 = wide, 2 @ 12:00 = cardioid, 3 @ 3:00 = hyper, "
                "4 @ 4:30 = eight",
                Meaning.PATTERN,
                kind=Kind.STEPPED,
            ),
        ],
        rack="Floor",
    ),
    M(
        "Skerrow Acoustic",
        "Weir 5",
        Category.MICROPHONE,
        ["M-02", "M-03"],
        {
            "transducer": Transducer.CONDENSER,
            "phantom": Phantom.NEEDED,
            "sensitivity_mv_pa": 20,
            "self_noise_dba": 9,
            "max_spl_db": 132,
            "output_impedance_ohm": 150,
            "output_level": MIC,
        },
        [
            C("Pad", "0 = 0 dB, -10 = -10 dB", Meaning.PAD, kind=Kind.SWITCH, unit="dB"),
            C("Low cut", "0 = flat, 1 = 80 Hz", Meaning.FILTER_FREQUENCY, kind=Kind.SWITCH),
        ],
        rack="Microphone cupboard",
    ),
    M(
        "Ullage Works",
        "Tierce",
        Category.MICROPHONE,
        ["M-04"],
        {
            "transducer": Transducer.RIBBON,
            "phantom": Phantom.HARMFUL,
            "sensitivity_mv_pa": "2.1",
            "max_spl_db": 130,
            "output_impedance_ohm": 300,
            "output_level": MIC,
        },
        rack="Microphone cupboard",
    ),
    M(
        "Ullage Works",
        "Firkin",
        Category.MICROPHONE,
        ["M-05", "M-06"],
        {
            "transducer": Transducer.DYNAMIC,
            "sensitivity_mv_pa": "1.8",
            "max_spl_db": 145,
            "output_impedance_ohm": 250,
            "output_level": MIC,
        },
        rack="Microphone cupboard",
    ),
]
