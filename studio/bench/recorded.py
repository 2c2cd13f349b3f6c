"""A song whose takes were recorded through so many chains, each with 58 controls of every kind."""

from collections.abc import Iterator
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from gear.audio.marks import marks_from_text
from gear.equipment.models import Category, GearModel, SignalLevel, Unit
from gear.panels.models import Control, Kind, Meaning, Panel
from gear.patchbay.models import Bay, PatchPoint, Side
from sessions.bookings.models import RecordingSession, Status
from sessions.clients.models import Client, Project
from sessions.setups.models import Chain, Orientation, Path, Placement, Revision, Setup, Stage
from sessions.songs.models import Part, Song
from sessions.takes.actions import circle_take, log_take

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
    ("Sounding", Category.MICROPHONE, MICROPHONE),
    ("Neap", Category.PREAMPLIFIER, PREAMPLIFIER),
    ("Ebb", Category.EQUALISER, EQUALISER),
    ("Slack", Category.COMPRESSOR, COMPRESSOR),
    ("Mooring", Category.CHANNEL, CHANNEL),
    ("Log", Category.CONVERTER, CONVERTER),
]
MONITORED = Category.COMPRESSOR  # so that both kinds of stages are drawn


@transaction.atomic
def recorded_song(chains: int, *, by) -> Song:
    """A song with a circled take of every part, each recorded through a chain of its own."""
    project = Project.objects.create(
        client=Client.objects.create(name=f"Pier Records {chains}"),
        name="Low Water",
        artist="The Capstan Four",
    )
    song = Song.objects.create(project=project, title=f"Haul Away, {chains} voices", key="D minor")
    session = RecordingSession.objects.create(
        project=project,
        title="Voices",
        starts_at=timezone.now() - timedelta(hours=4),
        ends_at=timezone.now(),
        status=Status.WRAPPED,
    )
    setup = Setup.objects.create(session=session, name="All at once")
    panels = {name: _panel(name, category, rows) for name, category, rows in STAGES}
    bay = Bay.objects.create(name=f"Bay {chains}")
    for number in range(1, chains + 1):
        part = Part.objects.create(song=song, position=number, name=f"Voice {number}")
        _chain(setup, part, panels, bay, by=by)
        circle_take(log_take(part, session=session, setup=setup), circled=True)
    return song


def _panel(name: str, category: str, rows: list[tuple]) -> Panel:
    model, _ = GearModel.objects.get_or_create(
        maker="Tidewell", name=f"{name} bench", category=category
    )
    panel, made = Panel.objects.get_or_create(model=model)
    if made:
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


def _chain(setup: Setup, part: Part, panels: dict[str, Panel], bay: Bay, *, by) -> None:
    number = part.position
    chain = Chain.objects.create(
        setup=setup,
        position=number,
        source=f"Voice {number}",
        part=part,
        track=f"Vox {number}",
        destination_input=f"Recorder in {number}",
    )
    revision = Revision.objects.create(chain=chain, created_by=by, note="As on the demo.")
    Placement.objects.create(
        revision=revision,
        distance_cm=20 + number,
        height_cm=160,
        angle_deg=15,
        orientation=Orientation.HUNG,
        pattern="Cardioid",
    )
    for position, (name, panel) in enumerate(panels.items(), 1):
        Stage.objects.create(
            revision=revision,
            position=position,
            unit=Unit.objects.create(
                model=panel.model,
                asset_tag=f"{name}-{setup.pk}-{number}",
                serial_number=f"{3100 + number}",
            ),
            panel=panel,
            path=Path.MONITOR_ONLY if panel.model.category == MONITORED else Path.PRINTED,
            patch_in=_point(bay, "B", number, position, Side.RETURN) if position > 1 else None,
            patch_out=_point(bay, "A", number, position, Side.SEND),
            settings=_settings(panel, number),
        )


def _point(bay: Bay, row: str, number: int, position: int, side: str) -> PatchPoint:
    return PatchPoint.objects.create(
        bay=bay,
        row=row,
        column=10 * number + position,
        label=f"Jack {number}.{position}",
        level=SignalLevel.LINE,
        side=side,
    )


def _settings(panel: Panel, number: int) -> dict[str, float]:
    """Every control somewhere else than on the next chain; every tenth was not logged."""
    settings = {}
    for control in panel.controls.all():
        place = number * 7 + control.position
        dial = control.dial()
        first, last = dial.marks[0].angle, dial.marks[-1].angle
        if place % 10:
            settings[control.key] = dial.read_at(first + (last - first) * (place % 29) / 28)
    return settings
