"""Panels with 58 controls of every kind between them, in the order of a chain."""

from collections.abc import Iterator

from gear.audio.marks import marks_from_text
from gear.equipment.models import Category
from gear.panels.models import Control, Kind, Meaning, Panel
from tests.factories import GearModelFactory, MicrophoneModelFactory, PanelFactory

KNOB = "0 @ 7:00, 15 @ 9:30, 30 @ 12:00, 45 @ 2:30, 60 @ 5:00"
GAIN = "-15 @ 7:00, 0 @ 12:00, 15 @ 5:00"
HERTZ = "40 @ 7:00, 200 @ 10:00, 1000 @ 1:00, 8000 @ 5:00"
STEPS = "2 @ 9:00, 4 @ 12:00, 8 @ 3:00"
OUT_IN = "0 = out, 1 = in"
FADER = "-60 @ 0%, 0 @ 75%, 10 @ 100%"
METER = "0 @ 10:30, 10 @ 12:00, 20 @ 1:30"

# Label, marks, kind, unit, meaning, band, group.
_SWITCH = Kind.SWITCH
MICROPHONE = [("Low cut", OUT_IN, _SWITCH, "", Meaning.OTHER, None, "")]
PREAMPLIFIER = [
    ("Gain", KNOB, Kind.CONTINUOUS, "dB", Meaning.GAIN, None, "Input"),
    ("48 V", OUT_IN, _SWITCH, "", Meaning.PHANTOM, None, "Input"),
    ("Polarity", OUT_IN, _SWITCH, "", Meaning.POLARITY, None, "Input"),
    ("Pad", OUT_IN, _SWITCH, "", Meaning.OTHER, None, "Input"),
    ("Impedance", STEPS, Kind.STEPPED, "", Meaning.OTHER, None, "Input"),
    ("Trim", GAIN, Kind.CONTINUOUS, "dB", Meaning.OUTPUT, None, "Output"),
    ("Level", METER, Kind.READING, "dB", Meaning.LEVEL_READING, None, "Output"),
]
EQUALISER = [
    ("Equaliser", OUT_IN, _SWITCH, "", Meaning.BYPASS, None, ""),
    *(
        control
        for band, name in enumerate(("Low", "Low middle", "High middle", "High"), 1)
        for control in (
            (f"{name} frequency", HERTZ, "continuous", "Hz", Meaning.BAND_FREQUENCY, band, name),
            (f"{name} gain", GAIN, "continuous", "dB", Meaning.BAND_GAIN, band, name),
            (f"{name} Q", STEPS, "continuous", "", Meaning.BAND_Q, band, name),
        )
    ),
]
COMPRESSOR = [
    ("Threshold", GAIN, Kind.CONTINUOUS, "dBu", Meaning.THRESHOLD, None, ""),
    ("Ratio", STEPS, Kind.STEPPED, ":1", Meaning.RATIO, None, ""),
    ("Attack", KNOB, Kind.CONTINUOUS, "ms", Meaning.ATTACK, None, ""),
    ("Release", KNOB, Kind.CONTINUOUS, "ms", Meaning.RELEASE, None, ""),
    ("Make-up", KNOB, Kind.CONTINUOUS, "dB", Meaning.MAKE_UP, None, ""),
    ("Circuit", OUT_IN, _SWITCH, "", Meaning.BYPASS, None, ""),
    ("Gain reduction", METER, Kind.READING, "dB", Meaning.GAIN_REDUCTION, None, ""),
]
CHANNEL = [
    *(
        (f"Send {number}", KNOB, Kind.CONTINUOUS, "dB", Meaning.OTHER, None, "Sends")
        for number in range(1, 17)
    ),
    *(
        (f"Bus {number}", OUT_IN, _SWITCH, "", Meaning.OTHER, None, "Buses")
        for number in range(1, 13)
    ),
    ("Fader", FADER, Kind.SLIDER, "dB", Meaning.OUTPUT, None, "Output"),
]
CONVERTER = [("Full scale", "18 = +18 dBu, 24 = +24 dBu", _SWITCH, "dBu", Meaning.OTHER, None, "")]
STAGES = [
    ("Weir", Category.MICROPHONE, MICROPHONE),
    ("Stile", Category.PREAMPLIFIER, PREAMPLIFIER),
    ("Ford", Category.EQUALISER, EQUALISER),
    ("Slack", Category.COMPRESSOR, COMPRESSOR),
    ("Causeway", Category.CHANNEL, CHANNEL),
    ("Log", Category.CONVERTER, CONVERTER),
]


def panels() -> dict[str, Panel]:
    """One a kind of unit, by its name."""
    return {name: _panel(name, category, rows) for name, category, rows in STAGES}


def _panel(name: str, category: str, rows: list[tuple]) -> Panel:
    microphone = category == Category.MICROPHONE
    factory = MicrophoneModelFactory if microphone else GearModelFactory
    panel = PanelFactory(
        model=factory(
            name=name,
            category=category,
            max_output_dbu=22,
            **{} if microphone or category == Category.PREAMPLIFIER else {"input_level": "line"},
        )
    )
    Control.objects.bulk_create(_controls(panel, rows))
    return panel


def _controls(panel: Panel, rows: list[tuple]) -> Iterator[Control]:
    for position, (label, marks, kind, unit, meaning, band, group) in enumerate(rows, 1):
        yield Control(
            panel=panel,
            position=position,
            key=f"control-{position}",
            label=label,
            group=group,
            kind=kind,
            unit=unit,
            meaning=meaning,
            band=band,
            marks=[
                {"value": mark.value, "angle": mark.angle, "label": mark.label}
                for mark in marks_from_text(marks, kind, unit)
            ],
        )
