"""Generic panels to start from: what such equipment usually has, laid out by us.

They stand for no product. Ranges and the places of marks are plain ones of our own, to be put
right against the unit in the rack.
"""

from gear.panels.generic_parts import (
    DYNAMICS,
    LEVEL_METER,
    LOW_CUT,
    OFF_ON,
    OUTPUT_TRIM,
    PAD,
    PATTERNS,
    PHANTOM,
    PLUS_MINUS_12,
    POLARITY,
    REDUCTION_METER,
    STEPPED_GAIN,
    GenericKind,
    Hz,
    Plain,
    band,
    dB,
    log,
    meter,
    stepped,
    switch,
)
from gear.panels.models import Kind, Meaning

GENERIC_KINDS: tuple[GenericKind, ...] = (
    GenericKind(
        "one-knob-optical-compressor",
        "One-knob optical compressor",
        {
            "": (
                Plain(
                    "Amount",
                    Meaning.OTHER,
                    "0 @ 7:00, 1 @ 8:30, 2 @ 9:45, 3 @ 10:45, 5 @ 12:00, 7 @ 2:00, 10 @ 5:00",
                ),
                OUTPUT_TRIM,
                switch("Compressor", Meaning.BYPASS),
                REDUCTION_METER,
            )
        },
    ),
    GenericKind(
        "compressor",
        "Compressor with threshold, ratio, attack, release and make-up",
        {"": (*DYNAMICS, switch("Compressor", Meaning.BYPASS), REDUCTION_METER)},
    ),
    GenericKind(
        "preamplifier-with-equaliser",
        "Stepped-gain preamplifier with three-band equaliser",
        {
            "Input": (PHANTOM, POLARITY, STEPPED_GAIN, OUTPUT_TRIM),
            "Equaliser": (
                Plain("Low gain", Meaning.BAND_GAIN, PLUS_MINUS_12, dB, band=1),
                stepped(
                    "Low frequency",
                    Meaning.BAND_FREQUENCY,
                    "0 @ 9:00 = off, 50 @ 10:00, 100 @ 11:00, 200 @ 12:00",
                    Hz,
                    1,
                ),
                Plain("Middle gain", Meaning.BAND_GAIN, PLUS_MINUS_12, dB, band=2),
                stepped(
                    "Middle frequency",
                    Meaning.BAND_FREQUENCY,
                    "0 @ 9:00 = off, 400 @ 10:00, 800 @ 11:00, 1k6 @ 12:00, 3k2 @ 1:00, 6k4 @ 2:00",
                    Hz,
                    2,
                ),
                Plain("High gain", Meaning.BAND_GAIN, PLUS_MINUS_12, dB, band=3),
                stepped(
                    "High frequency",
                    Meaning.BAND_FREQUENCY,
                    "6k @ 10:00, 9k @ 11:00, 12k @ 12:00, 0 @ 1:00 = off",
                    Hz,
                    3,
                ),
                switch("Equaliser", Meaning.BYPASS),
            ),
        },
    ),
    GenericKind(
        "plain-preamplifier",
        "Plain preamplifier with pad, phantom power, polarity and low cut",
        {
            "": (
                PHANTOM,
                PAD,
                POLARITY,
                LOW_CUT,
                Plain(
                    "Gain",
                    Meaning.GAIN,
                    "15 @ 7:00, 25 @ 9:30, 40 @ 12:00, 55 @ 2:30, 65 @ 5:00",
                    dB,
                ),
                LEVEL_METER,
            )
        },
    ),
    GenericKind(
        "console-channel",
        "Console channel with filters, equaliser and dynamics",
        {
            "Input": (
                PHANTOM,
                PAD,
                POLARITY,
                Plain(
                    "Gain",
                    Meaning.GAIN,
                    "0 @ 7:00, 15 @ 9:30, 30 @ 12:00, 45 @ 2:30, 60 @ 5:00",
                    dB,
                ),
            ),
            "Filters": (
                log(
                    "Low cut",
                    Meaning.FILTER_FREQUENCY,
                    "20 @ 7:00, 50 @ 10:00, 120 @ 2:00, 300 @ 5:00",
                ),
                log(
                    "High cut",
                    Meaning.FILTER_FREQUENCY,
                    "20k @ 7:00, 12k @ 10:00, 6k @ 2:00, 3k @ 5:00",
                ),
                switch("Filters", Meaning.BYPASS),
            ),
            "Equaliser": (
                *band("Low", 1, "40 @ 7:00, 80 @ 10:00, 200 @ 2:00, 500 @ 5:00", shape=True),
                *band("Low middle", 2, "150 @ 7:00, 400 @ 10:30, 1k @ 2:00, 2k5 @ 5:00", q=True),
                *band("High middle", 3, "600 @ 7:00, 1k5 @ 10:30, 4k @ 2:00, 8k @ 5:00", q=True),
                *band("High", 4, "2k @ 7:00, 5k @ 10:30, 10k @ 2:00, 16k @ 5:00", shape=True),
                switch("Equaliser", Meaning.BYPASS),
            ),
            "Dynamics": (*DYNAMICS, switch("Compressor", Meaning.BYPASS), REDUCTION_METER),
            "Output": (
                Plain(
                    "Fader",
                    Meaning.OUTPUT,
                    "-60 @ 0% = -∞, -40 @ 14%, -20 @ 36%, -10 @ 56%, -5 @ 67%, 0 @ 79%, 5 @ 90%, 10 @ 100%",
                    dB,
                    Kind.SLIDER,
                ),
                LEVEL_METER,
            ),
        },
    ),
    GenericKind(
        "valve-microphone-supply",
        "Valve microphone supply with pattern knob",
        {
            "": (
                switch("Power", Meaning.POWER, OFF_ON),
                stepped("Pattern", Meaning.PATTERN, PATTERNS),
                switch("Low cut", Meaning.FILTER_FREQUENCY, "0 = out, 60 = 60 Hz", Hz),
            )
        },
    ),
    GenericKind(
        "condenser-microphone",
        "Condenser microphone with pad, low cut and pattern switches",
        {
            "": (
                switch("Pattern", Meaning.PATTERN, "0 = omni, 1 = cardioid, 2 = eight"),
                switch("Pad", Meaning.PAD, "0 = out, -10 = -10 dB", dB),
                LOW_CUT,
            )
        },
    ),
    GenericKind(
        "parametric-equaliser",
        "Parametric equaliser of four bands",
        {
            "Low": band(
                "Low", 1, "30 @ 7:00, 80 @ 10:30, 200 @ 2:00, 500 @ 5:00", q=True, shape=True
            ),
            "Low middle": band(
                "Low middle", 2, "100 @ 7:00, 250 @ 10:30, 700 @ 2:00, 2k @ 5:00", q=True
            ),
            "High middle": band(
                "High middle", 3, "500 @ 7:00, 1k4 @ 10:30, 4k @ 2:00, 10k @ 5:00", q=True
            ),
            "High": band(
                "High", 4, "1k5 @ 7:00, 4k @ 10:30, 9k @ 2:00, 20k @ 5:00", q=True, shape=True
            ),
            "Output": (OUTPUT_TRIM, switch("Equaliser", Meaning.BYPASS)),
        },
    ),
    GenericKind(
        "headphone-amplifier",
        "Headphone amplifier",
        {
            "": (
                Plain(
                    "Level",
                    Meaning.OUTPUT,
                    "-70 @ 7:00 = -∞, -40 @ 8:30, -20 @ 10:30, -10 @ 12:30, 0 @ 3:00, 10 @ 5:00",
                    dB,
                ),
                switch("Mono", Meaning.OTHER, OFF_ON),
                switch("Mute", Meaning.OTHER, OFF_ON),
            )
        },
    ),
    GenericKind(
        "converter",
        "Converter",
        {
            "": (
                stepped(
                    "Full scale",
                    Meaning.OTHER,
                    "14 @ 10:30, 18 @ 12:00, 20 @ 1:30, 24 @ 3:00",
                    "dBu",
                ),
                switch("Clock", Meaning.OTHER, "0 = internal, 1 = external"),
                meter(
                    "Peak",
                    Meaning.LEVEL_READING,
                    "-60 @ 9:30, -40 @ 10:30, -20 @ 12:00, -10 @ 1:00, 0 @ 2:30",
                    "dBFS",
                ),
            )
        },
    ),
)
