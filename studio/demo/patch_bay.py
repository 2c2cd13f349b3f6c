"""The studio's patch bays and their tie lines: microphones on one, line level on the other."""

from gear.equipment.models import Unit
from gear.patchbay.models import Bay, Normal, NormalKind, PatchPoint, Side, TieLine
from studio.demo.told import LINE, MIC

# A jack: label, what is wired behind it (PR-01/3 is a channel) and its socket.
_OPEN = ("", "", "")


def _preamplifier(number: int) -> str:
    return f"PR-0{1 if number <= 8 else 2}/{(number - 1) % 8 + 1}"


# Source above, input below, the normal between them.
_MICROPHONES = [
    *[
        ((f"Floor {n}", "", ""), (f"Pre {n} in", _preamplifier(n), "mic in"), NormalKind.FULL)
        for n in range(1, 17)
    ],
    *[((f"Bread {n}", "", ""), _OPEN, None) for n in range(1, 5)],
]
_LINES = [
    *[
        (
            (f"Pre {n} out", _preamplifier(n), "line out"),
            (f"Record {n}", f"AD-01/{n}", f"in {n}"),
            NormalKind.HALF,
        )
        for n in range(1, 17)
    ],
    *[
        ((f"Dry {n} out", f"CO-0{n}", "out"), (f"Dry {n} in", f"CO-0{n}", "in"), None)
        for n in (1, 2)
    ],
    *[
        ((f"Lintel {n} out", f"EQ-01/{n}", "out"), (f"Lintel {n} in", f"EQ-01/{n}", "in"), None)
        for n in (1, 2)
    ],
    *[
        ((f"Desk {n} out", f"MX-01/{n}", "out"), (f"Desk {n} in", f"MX-01/{n}", "in"), None)
        for n in range(1, 5)
    ],
    (("Undercroft out", "FX-01", "out"), ("Undercroft in", "FX-01", "in"), None),
    *[
        ((f"Cue {letter}", "", ""), (f"Hive {n} in", f"HP-0{n}", "in"), NormalKind.FULL)
        for n, letter in enumerate("ABC", 1)
    ],
    (("Mult 1 a", "", ""), ("Mult 1 in", "", ""), None),
    (("Mult 1 b", "", ""), _OPEN, None),
]


def make_patch_bays() -> None:
    units = {unit.asset_tag: unit for unit in Unit.objects.all()}
    for name, rows, level, columns in (
        ("Bay 1", "AB", MIC, _MICROPHONES),
        ("Bay 2", "CD", LINE, _LINES),
    ):
        bay = Bay.objects.create(name=name, location="Control room, left of the desk")
        for column, (above, below, normal) in enumerate(columns, 1):
            source, destination = (
                _jack(bay, row, column, side, level, *jack, units) if jack[0] else None
                for row, side, jack in zip(
                    rows, (Side.SEND, Side.RETURN), (above, below), strict=True
                )
            )
            if normal:
                Normal.objects.create(source=source, destination=destination, kind=normal)
            _tie(source)


def _jack(bay, row, column, side, level, label, wired, socket, units) -> PatchPoint:
    tag, _, channel = wired.partition("/")
    return PatchPoint.objects.create(
        bay=bay,
        row=row,
        column=column,
        side=side,
        label=label,
        unit=units.get(tag),
        channel=int(channel) if channel else None,
        socket=socket,
        level=level,
        mult=label.split()[1] if label.startswith("Mult ") else "",
    )


def _tie(point: PatchPoint) -> None:
    """Join a jack that is labelled by its room to the wall box there."""
    word, _, line = point.label.partition(" ")
    if word == "Floor":
        box = "North wall" if int(line) <= 8 else "South wall"
        TieLine.objects.create(room="Rope Floor", box=box, line=int(line), point=point)
    elif word == "Bread":
        TieLine.objects.create(room="Bread Room", box="By the door", line=int(line), point=point)
