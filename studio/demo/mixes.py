"""What the rough mixes of one song are made through: a small desk, six channels, and what the
quartet heard of the low voices."""

from datetime import timedelta

from django.utils import timezone

from gear.equipment.models import Unit
from sessions.deliverables.mixes.actions import create_mix, save_mix, set_insert
from sessions.deliverables.mixes.lines import Line, NamedUnit, Send, lines_of
from sessions.deliverables.mixes.models import MixInsert, MixSetup, StripKind, Tap
from studio.demo.days import as_of, at

WORKSTATION = (
    "House workstation, program version 12.4, session “Neap and Spring, rough”; no plug-ins"
)
MONITOR_LEVEL = (
    "Control at 12 o’clock: pink noise at −20.0 dBFS RMS is 79 dB(C) at the chair, one side"
)


def log_rough_mix(work) -> None:
    song = work.songs["Neap and Spring"]
    with as_of(at(-6, 11)):
        setup = create_mix(song.project, name="Rough mixes", songs=[song], by=work.engineer)
        facts = {
            "workstation": WORKSTATION,
            "monitor_level": MONITOR_LEVEL,
            "print_input": "AD-01, inputs 15 and 16",
            "printed_as": "stereo WAV, 48 kHz, 24 bit",
            "note": "",
        }
        lines = [
            _line("Bass", "Bass DI", 1, -8, 0),
            _line("Drums", "Drum stem", 3, -6, 0),
            _line("Piano low", "Pno L", 5, -11, -70, inserts=["EQ-01/1"]),
            _line("Piano high", "Pno R", 6, -11, 70, inserts=["EQ-01/2"]),
            _line("Brass", "Brass stem", 7, -7.5, 15, sends=[Send("Hall", "−14 dB")]),
            _line("Hall", "", 0, -12, 0, StripKind.RETURN, ["FX-01"]),
            _line("Stereo bus", "", 0, 0, 0, StripKind.STEREO_BUS, ["CO-02"]),
        ]
        save_mix(setup, version=setup.version, by=work.engineer, facts=facts, lines=lines)
        _piano = {"low-gain": -2, "low-frequency": 95, "middle-gain": 0, "high-gain": -1.5}
        _piano |= {"high-frequency": 9000, "equaliser": 1}
        _set(work, "EQ-01", 1, _piano)
        _set(work, "EQ-01", 2, _piano)
        _set(work, "FX-01", None, {"pre-delay": 25, "decay": 2.2, "tone": -2})
        _set(
            work,
            "CO-02",
            None,
            {"threshold": -6, "ratio": 1.5, "attack": 20, "release": 250}
            | {"side-chain-low-cut": 140, "make-up": 2, "compressor": 1},
        )


def add_quartet_to_rough_mix(work) -> None:
    """After the first hour of today's session: what was only in their headphones is printed now."""
    setup = MixSetup.objects.get(name="Rough mixes")
    with as_of(timezone.now() - timedelta(minutes=30)):
        newest = setup.newest_revision()
        lines = [
            *lines_of(newest)[:5],
            _line("Quartet high", "Qrt SA", 9, -9, -35, sends=[Send("Hall", "−10 dB")]),
            _line(
                "Quartet low",
                "Qrt TB",
                10,
                -8,
                35,
                inserts=["CO-01"],
                sends=[Send("Hall", "1 o’clock", Tap.PRE)],
            ),
            *lines_of(newest)[5:],
        ]
        facts = {"workstation": WORKSTATION, "monitor_level": MONITOR_LEVEL}
        facts |= {"print_input": newest.print_input, "printed_as": newest.printed_as}
        facts["note"] = "Quartet as they heard themselves: the low voices through the compressor."
        save_mix(setup, version=setup.version, by=work.engineer, facts=facts, lines=lines)
        held = {"threshold": -16, "ratio": 4, "attack": 6, "release": 700, "make-up": 4}
        _set(work, "CO-01", None, held | {"side-chain-low-cut": 140, "compressor": 1})


def _line(
    name: str,
    plays: str,
    output: int,
    fader: float,
    pan: float,
    kind: str = StripKind.CHANNEL,
    inserts: list[str] = (),
    sends: list[Send] = (),
) -> Line:
    facts = {"kind": kind, "name": name, "plays": plays, "fader_db": fader, "pan": pan}
    facts |= {"played_from": f"Output {output}" if output else "", "is_muted": False}
    facts |= {"feeds": "", "note": ""}
    return Line(None, facts, tuple(map(_named, inserts)), tuple(sends))


def _named(typed: str) -> NamedUnit:
    tag, _, channel = typed.partition("/")
    unit = Unit.objects.select_related("model").get(asset_tag=tag)
    return NamedUnit(unit, int(channel) if channel else None)


def _set(work, tag: str, channel: int | None, settings: dict) -> None:
    inserts = MixInsert.objects.filter(unit__asset_tag=tag, channel=channel)
    insert = inserts.select_related("strip__revision__setup").latest("pk")
    version = insert.strip.revision.setup.version
    set_insert(insert, version=version, by=work.engineer, settings=settings)
