"""Harbour Lane's equipment. Makers, models and panels are invented and sound like nobody's."""

from dataclasses import dataclass, field

from django.utils.text import slugify

from gear.audio.marks import marks_from_text
from gear.equipment.models import (
    Category,
    GearModel,
    Phantom,
    SignalLevel,
    Transducer,
    Unit,
    UnitState,
)
from gear.panels.models import Control, Kind, Meaning, Panel, Scale
from gear.patchbay.models import Bay, Normal, NormalKind, PatchPoint, Side, TieLine


@dataclass(frozen=True)
class C:
    """A control, told in one line."""

    label: str
    marks: str = ""
    meaning: str = Meaning.OTHER
    unit: str = ""
    kind: str = Kind.CONTINUOUS
    group: str = ""
    scale: str = Scale.LINEAR
    band: int | None = None


@dataclass(frozen=True)
class M:
    """A model with its panel and the tags of its units."""

    maker: str
    name: str
    category: str
    tags: list[str]
    facts: dict = field(default_factory=dict)
    controls: list[C] = field(default_factory=list)
    rack: str = ""


OUT_IN = "0 = out, 1 = in"
OFF_ON = "0 = off, 1 = on"
MIC, LINE = SignalLevel.MICROPHONE, SignalLevel.LINE

MODELS = [
    M(
        "Petrel & Daughters",
        "Sounding 12",
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
        "Petrel & Daughters",
        "Sounding Supply",
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
        "Petrel & Daughters",
        "Sounding 5",
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
        "Quillfeather",
        "Reedbed",
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
        "Quillfeather",
        "Bosun",
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
    M(
        "Tidewell",
        "Neap 1",
        Category.PREAMPLIFIER,
        ["P-01", "P-02", "P-03"],
        {
            "input_level": MIC,
            "output_level": LINE,
            "max_input_dbu": 6,
            "max_output_dbu": 26,
            "nominal_level_dbu": 4,
            "equivalent_input_noise_dbu": -128,
        },
        [
            C("48 V", OFF_ON, Meaning.PHANTOM, kind=Kind.SWITCH, group="Input"),
            C(
                "Polarity",
                "0 = normal, 1 = reversed",
                Meaning.POLARITY,
                kind=Kind.SWITCH,
                group="Input",
            ),
            C(
                "Gain",
                "20 @ 7:00, 25 @ 8:00, 30 @ 9:00, 35 @ 10:00, 40 @ 11:00, 45 @ 12:00, 50 @ 1:00, "
                "55 @ 2:00, 60 @ 3:00, 65 @ 4:00",
                Meaning.GAIN,
                "dB",
                Kind.STEPPED,
                "Input",
            ),
            C("Trim", "-10 @ 7:00, 0 @ 12:00, 10 @ 5:00", Meaning.OUTPUT, "dB", group="Input"),
            C(
                "Low",
                "-14 @ 7:00, 0 @ 12:00, 14 @ 5:00",
                Meaning.BAND_GAIN,
                "dB",
                group="Equaliser",
                band=1,
            ),
            C(
                "Low frequency",
                "45 @ 9:00, 90 @ 12:00, 180 @ 3:00",
                Meaning.BAND_FREQUENCY,
                "Hz",
                Kind.STEPPED,
                "Equaliser",
                band=1,
            ),
            C(
                "Middle",
                "-14 @ 7:00, 0 @ 12:00, 14 @ 5:00",
                Meaning.BAND_GAIN,
                "dB",
                group="Equaliser",
                band=2,
            ),
            C(
                "Middle frequency",
                "250 @ 7:00, 800 @ 10:00, 2000 @ 1:00, 5000 @ 3:30, 7500 @ 5:00",
                Meaning.BAND_FREQUENCY,
                "Hz",
                group="Equaliser",
                scale=Scale.LOG,
                band=2,
            ),
            C(
                "High",
                "-14 @ 7:00, 0 @ 12:00, 14 @ 5:00",
                Meaning.BAND_GAIN,
                "dB",
                group="Equaliser",
                band=3,
            ),
            C(
                "High frequency",
                "6000 @ 9:00, 10000 @ 12:00, 16000 @ 3:00",
                Meaning.BAND_FREQUENCY,
                "Hz",
                Kind.STEPPED,
                "Equaliser",
                band=3,
            ),
            C("Equaliser", OUT_IN, Meaning.BYPASS, kind=Kind.SWITCH, group="Equaliser"),
        ],
        rack="Rack A",
    ),
    M(
        "Ropewalk Electric",
        "Slack Water",
        Category.COMPRESSOR,
        ["C-01", "C-02"],
        {"input_level": LINE, "output_level": LINE, "max_input_dbu": 24, "max_output_dbu": 24},
        [
            C(
                "Threshold",
                "10 @ 7:00, 0 @ 10:00, -10 @ 1:00, -20 @ 3:00, -30 @ 5:00",
                Meaning.THRESHOLD,
                "dBu",
            ),
            C("Ratio", "2 @ 10:00, 4 @ 12:00, 8 @ 2:00", Meaning.RATIO, ":1", Kind.STEPPED),
            C(
                "Attack",
                "0.5 @ 7:00, 2 @ 10:00, 10 @ 1:00, 50 @ 5:00",
                Meaning.ATTACK,
                "ms",
                scale=Scale.LOG,
            ),
            C(
                "Release",
                "50 @ 7:00, 200 @ 11:00, 600 @ 2:00, 2000 @ 5:00",
                Meaning.RELEASE,
                "ms",
                scale=Scale.LOG,
            ),
            C("Knee", "0 = hard, 1 = soft", Meaning.KNEE, kind=Kind.SWITCH),
            C("Make-up", "0 @ 7:00, 10 @ 12:00, 20 @ 5:00", Meaning.MAKE_UP, "dB"),
            C("Circuit", OUT_IN, Meaning.BYPASS, kind=Kind.SWITCH),
            C(
                "Gain reduction",
                "0 @ 10:00, 3 @ 11:00, 6 @ 12:00, 12 @ 1:30, 20 @ 2:30",
                Meaning.GAIN_REDUCTION,
                "dB",
                Kind.READING,
            ),
        ],
        rack="Rack B",
    ),
    M(
        "Tidewell",
        "Mooring channel",
        Category.CHANNEL,
        ["D-07", "D-08", "D-09"],
        {"input_level": LINE, "output_level": LINE, "max_output_dbu": 22, "nominal_level_dbu": 4},
        [
            C("Line trim", "-12 @ 7:00, 0 @ 12:00, 12 @ 5:00", Meaning.GAIN, "dB"),
            C(
                "High-pass",
                "20 @ 7:00, 60 @ 10:00, 150 @ 2:00, 350 @ 5:00",
                Meaning.FILTER_FREQUENCY,
                "Hz",
                scale=Scale.LOG,
            ),
            C("Filter", OUT_IN, Meaning.BYPASS, kind=Kind.SWITCH),
            C("Air", "0 @ 7:00, 6 @ 12:00, 12 @ 5:00", Meaning.BAND_GAIN, "dB", band=4),
            C(
                "Air frequency",
                "8000 @ 10:00, 12000 @ 12:00, 18000 @ 2:00",
                Meaning.BAND_FREQUENCY,
                "Hz",
                Kind.STEPPED,
                band=4,
            ),
            C(
                "Fader",
                "-60 @ 0%, -20 @ 35%, -10 @ 55%, 0 @ 80%, 10 @ 100%",
                Meaning.OUTPUT,
                "dB",
                Kind.SLIDER,
            ),
            C(
                "Level",
                "-40 @ 9:30, -20 @ 10:30, -6 @ 12:00, 0 @ 1:00, 6 @ 2:30",
                Meaning.LEVEL_READING,
                "dB",
                Kind.READING,
            ),
        ],
        rack="Console",
    ),
    M(
        "Lanyard",
        "Log 16",
        Category.CONVERTER,
        ["A-01"],
        {
            "input_level": LINE,
            "output_level": SignalLevel.DIGITAL,
            "max_input_dbu": 18,
            "delay_samples": 78,
        },
        [C("Full scale", "18 = +18 dBu, 24 = +24 dBu", kind=Kind.SWITCH, unit="dBu")],
        rack="Rack C",
    ),
    M(
        "Gannet Tone",
        "Cistern",
        Category.EFFECT,
        ["E-01"],
        {"input_level": LINE, "output_level": LINE},
        [
            C("Decay", "0.5 @ 7:00, 1.5 @ 12:00, 4 @ 5:00", unit="s"),
            C("Blend", "0 @ 7:00, 50 @ 12:00, 100 @ 5:00", unit="%"),
        ],
        rack="Rack C",
    ),
    M(
        "Gannet Tone",
        "Cuddy 4",
        Category.HEADPHONES,
        ["H-01", "H-02"],
        {"input_level": LINE, "output_level": SignalLevel.SPEAKER},
        [C("Level", "0 @ 7:00, 5 @ 12:00, 10 @ 5:00", Meaning.OUTPUT)],
        rack="Floor",
    ),
]


def fill_equipment() -> None:
    """Makes all models, panels, units, the patch bay and its tie lines."""
    for row in MODELS:
        _make_model(row)
    Unit.objects.filter(asset_tag="M-01").update(supply=Unit.objects.get(asset_tag="S-01"))
    to_the_bench = Unit.objects.get(asset_tag="C-02")
    to_the_bench.state = UnitState.AT_THE_BENCH
    to_the_bench.save()
    _make_patch_bay()


def _make_model(row: M) -> None:
    model = GearModel.objects.create(
        maker=row.maker, name=row.name, category=row.category, **row.facts
    )
    if row.controls:
        panel = Panel.objects.create(model=model)
        Control.objects.bulk_create(
            Control(
                panel=panel,
                position=position,
                key=slugify(control.label),
                label=control.label,
                group=control.group,
                kind=control.kind,
                scale=control.scale,
                unit=control.unit,
                meaning=control.meaning,
                band=control.band,
                marks=[
                    {"value": mark.value, "angle": mark.angle, "label": mark.label}
                    for mark in marks_from_text(control.marks, control.kind, control.unit)
                ],
            )
            for position, control in enumerate(row.controls, 1)
        )
    for tag in row.tags:
        Unit.objects.create(
            model=model,
            asset_tag=tag,
            serial_number=f"{tag[0]}{3100 + int(tag[2:]) * 17}",
            home_room="Control room" if row.rack.startswith(("Rack", "Console")) else "Net Loft",
            rack=row.rack,
        )


# Column: label of the source above, unit tag and socket, level; label of the input below, unit tag
# and socket, level; the normal between them.
_COLUMNS = [
    *[
        (f"Wall {n}", None, "", MIC, f"Pre {n} in", f"P-0{n}", "mic in", MIC, NormalKind.FULL)
        for n in (1, 2, 3)
    ],
    ("Wall 4", None, "", MIC, "", None, "", MIC, None),
    *[
        (
            f"Pre {n} out",
            f"P-0{n}",
            "out",
            LINE,
            f"Line {n}",
            f"D-0{n + 6}",
            "line in",
            LINE,
            NormalKind.HALF,
        )
        for n in (1, 2, 3)
    ],
    ("Slack 1 out", "C-01", "out", LINE, "Slack 1 in", "C-01", "in", LINE, None),
    ("Slack 2 out", "C-02", "out", LINE, "Slack 2 in", "C-02", "in", LINE, None),
    *[
        (
            f"Direct {n}",
            f"D-0{n + 6}",
            "direct out",
            LINE,
            f"Record {n}",
            "A-01",
            f"in {n}",
            LINE,
            NormalKind.HALF,
        )
        for n in (1, 2, 3)
    ],
    ("Cistern out", "E-01", "out", LINE, "Cistern in", "E-01", "in", LINE, None),
    ("Cue A", None, "", LINE, "Cuddy 1 in", "H-01", "in", LINE, NormalKind.FULL),
    ("Cue B", None, "", LINE, "Cuddy 2 in", "H-02", "in", LINE, NormalKind.FULL),
    ("Sail 1", None, "", MIC, "", None, "", MIC, None),
    ("Sail 2", None, "", MIC, "", None, "", MIC, None),
    ("Mult 1 a", None, "", LINE, "Mult 1 in", None, "", LINE, None),
    ("Mult 1 b", None, "", LINE, "", None, "", LINE, None),
    ("Mult 1 c", None, "", LINE, "", None, "", LINE, None),
]
# The label's first word: room and wall box of the line; lines count from 1 by their label.
_WALL_BOXES = {"Wall": ("Net Loft", "Wall box east"), "Sail": ("Sail Room", "Wall box door")}


def _make_patch_bay() -> None:
    bay = Bay.objects.create(name="Bay 1", location="Control room, beside the console")
    units = {unit.asset_tag: unit for unit in Unit.objects.all()}
    for column, row in enumerate(_COLUMNS, 1):
        source_label, source_tag, source_socket, source_level = row[:4]
        input_label, input_tag, input_socket, input_level, normal = row[4:]
        source = PatchPoint.objects.create(
            bay=bay,
            row="A",
            column=column,
            label=source_label,
            side=Side.SEND,
            level=source_level,
            unit=units.get(source_tag),
            socket=source_socket,
            mult=_mult(source_label),
        )
        if input_label:
            destination = PatchPoint.objects.create(
                bay=bay,
                row="B",
                column=column,
                label=input_label,
                side=Side.RETURN,
                level=input_level,
                unit=units.get(input_tag),
                socket=input_socket,
                mult=_mult(input_label),
            )
            if normal:
                Normal.objects.create(source=source, destination=destination, kind=normal)
        word, _, number = source_label.partition(" ")
        if word in _WALL_BOXES:
            room, box = _WALL_BOXES[word]
            TieLine.objects.create(room=room, box=box, line=int(number), point=source)


def _mult(label: str) -> str:
    """The mult that a jack of this label belongs to: 1 of Mult 1 a."""
    word, *rest = label.split()[:2] or [""]
    return rest[0] if word == "Mult" else ""
