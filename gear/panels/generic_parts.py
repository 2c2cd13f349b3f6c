"""What generic panels are put together from: controls told in one line, and those that several share."""

from dataclasses import dataclass

from django.utils.text import slugify

from gear.audio.marks import marks_from_text
from gear.panels.models import Control, Kind, Meaning, Scale

OFF_ON = "0 = off, 1 = on"
OUT_IN = "0 = out, 1 = in"
NORMAL_REVERSED = "0 = normal, 1 = reversed"
PEAK_SHELF = "0 = peak, 1 = shelf"
REDUCTION = "0 @ 9:30, 2 @ 10:30, 5 @ 11:30, 10 @ 12:30, 15 @ 1:30, 20 @ 2:30"
LEVEL = "-30 @ 9:30, -20 @ 10:15, -10 @ 11:00, -5 @ 12:00, 0 @ 1:15, 5 @ 2:30"
PLUS_MINUS_12 = "-12 @ 7:00, -6 @ 9:00, -3 @ 10:15, 0 @ 12:00, 3 @ 1:45, 6 @ 3:00, 12 @ 5:00"
PATTERNS = (
    "0 @ 8:00 = omni, 1 @ 10:00 = wide, 2 @ 12:00 = cardioid, 3 @ 2:00 = hyper, 4 @ 4:00 = eight"
)
dB, Hz, ms = "dB", "Hz", "ms"


@dataclass(frozen=True)
class Plain:
    """A control told in one line; its marks as they are typed in the editor."""

    label: str
    meaning: str
    marks: str
    unit: str = ""
    kind: str = Kind.CONTINUOUS
    scale: str = Scale.LINEAR
    band: int | None = None


@dataclass(frozen=True)
class GenericKind:
    """A panel in general terms: its controls by group, in signal order."""

    key: str
    name: str
    groups: dict[str, tuple[Plain, ...]]

    def controls(self) -> list[Control]:
        """The controls as a panel would hold them, not saved."""
        return [_control(plain, group) for group, plains in self.groups.items() for plain in plains]


def _control(plain: Plain, group: str) -> Control:
    marks = marks_from_text(plain.marks, plain.kind, plain.unit)
    return Control(
        key=slugify(f"{group} {plain.label}"),
        label=plain.label,
        group=group,
        kind=plain.kind,
        unit=plain.unit,
        scale=plain.scale,
        meaning=plain.meaning,
        band=plain.band,
        marks=[{"value": each.value, "angle": each.angle, "label": each.label} for each in marks],
    )


def switch(label: str, meaning: str, marks: str = OUT_IN, unit: str = "", band=None) -> Plain:
    return Plain(label, meaning, marks, unit, Kind.SWITCH, band=band)


def stepped(label: str, meaning: str, marks: str, unit: str = "", band=None) -> Plain:
    return Plain(label, meaning, marks, unit, Kind.STEPPED, band=band)


def log(label: str, meaning: str, marks: str, unit: str = Hz, band=None) -> Plain:
    return Plain(label, meaning, marks, unit, scale=Scale.LOG, band=band)


def meter(label: str, meaning: str, marks: str, unit: str = dB) -> Plain:
    return Plain(label, meaning, marks, unit, Kind.READING)


PHANTOM = switch("Phantom power", Meaning.PHANTOM, OFF_ON)
POLARITY = switch("Polarity", Meaning.POLARITY, NORMAL_REVERSED)
PAD = switch("Pad", Meaning.PAD, "0 = out, -20 = in", dB)
LOW_CUT = switch("Low cut", Meaning.FILTER_FREQUENCY, "0 = out, 80 = 80 Hz", Hz)
STEPPED_GAIN = stepped(
    "Gain",
    Meaning.GAIN,
    "10 @ 7:00, 15 @ 8:00, 20 @ 9:00, 25 @ 10:00, 30 @ 11:00, 35 @ 12:00, 40 @ 1:00, 45 @ 2:00, "
    "50 @ 3:00, 55 @ 4:00, 60 @ 5:00",
    dB,
)
OUTPUT_TRIM = Plain("Output trim", Meaning.OUTPUT, "-12 @ 7:00, 0 @ 12:00, 12 @ 5:00", dB)
REDUCTION_METER = meter("Gain reduction", Meaning.GAIN_REDUCTION, REDUCTION)
LEVEL_METER = meter("Level", Meaning.LEVEL_READING, LEVEL)


def band(
    name: str, number: int, frequencies: str, *, q: bool = False, shape: bool = False
) -> tuple[Plain, ...]:
    """The knobs of one band of an equaliser, counted from the lowest."""
    knobs = [
        Plain(f"{name} gain", Meaning.BAND_GAIN, PLUS_MINUS_12, dB, band=number),
        log(f"{name} frequency", Meaning.BAND_FREQUENCY, frequencies, band=number),
    ]
    if q:
        marks = "0.4 @ 7:00, 0.7 @ 9:30, 1.5 @ 12:00, 3 @ 2:30, 6 @ 5:00"
        knobs.append(log(f"{name} Q", Meaning.BAND_Q, marks, "", number))
    if shape:
        knobs.append(switch(f"{name} shape", Meaning.BAND_SHAPE, PEAK_SHELF, band=number))
    return tuple(knobs)


DYNAMICS = (
    Plain(
        "Threshold",
        Meaning.THRESHOLD,
        "10 @ 7:00, 5 @ 8:30, 0 @ 10:00, -10 @ 1:00, -20 @ 3:30, -30 @ 5:00",
        "dBu",
    ),
    log("Ratio", Meaning.RATIO, "1.5 @ 7:00, 2 @ 9:00, 4 @ 12:00, 8 @ 3:00, 20 @ 5:00", ":1"),
    log("Attack", Meaning.ATTACK, "0.3 @ 7:00, 1 @ 9:00, 5 @ 12:00, 20 @ 3:00, 80 @ 5:00", ms),
    log(
        "Release",
        Meaning.RELEASE,
        "40 @ 7:00, 100 @ 9:00, 300 @ 12:00, 900 @ 3:00, 2500 @ 5:00",
        ms,
    ),
    Plain("Make-up", Meaning.MAKE_UP, "0 @ 7:00, 5 @ 9:30, 10 @ 12:00, 15 @ 2:30, 20 @ 5:00", dB),
)
