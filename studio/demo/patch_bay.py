"""Quay Steps's patch bay and its tie lines."""

from gear.equipment.models import Unit
from gear.patchbay.models import Bay, Normal, NormalKind, PatchPoint, Side, TieLine
from studio.demo.told import LINE, MIC

# Column: label of the source above, unit tag and socket, level; label of the input below, unit tag
# (and channel: A-01/3) and socket, level; the normal between them.
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
    ("Dry 1 out", "C-01", "out", LINE, "Dry 1 in", "C-01", "in", LINE, None),
    ("Dry 2 out", "C-02", "out", LINE, "Dry 2 in", "C-02", "in", LINE, None),
    *[
        (
            f"Direct {n}",
            f"D-0{n + 6}",
            "direct out",
            LINE,
            f"Record {n}",
            f"A-01/{n}",
            f"in {n}",
            LINE,
            NormalKind.HALF,
        )
        for n in (1, 2, 3)
    ],
    ("Undercroft out", "E-01", "out", LINE, "Undercroft in", "E-01", "in", LINE, None),
    ("Cue A", None, "", LINE, "Hive 1 in", "H-01", "in", LINE, NormalKind.FULL),
    ("Cue B", None, "", LINE, "Hive 2 in", "H-02", "in", LINE, NormalKind.FULL),
    ("Sail 1", None, "", MIC, "", None, "", MIC, None),
    ("Sail 2", None, "", MIC, "", None, "", MIC, None),
    ("Mult 1 a", None, "", LINE, "Mult 1 in", None, "", LINE, None),
    ("Mult 1 b", None, "", LINE, "", None, "", LINE, None),
    ("Mult 1 c", None, "", LINE, "", None, "", LINE, None),
]
# The label's first word: room and wall box of the line; lines count from 1 by their label.
_WALL_BOXES = {"Wall": ("Rope Floor", "Wall box east"), "Sail": ("Bread Room", "Wall box door")}


def make_patch_bay() -> None:
    bay = Bay.objects.create(name="Bay 1", location="Control room, beside the console")
    units = {unit.asset_tag: unit for unit in Unit.objects.all()}

    def jack(row, column, side, label, wired, socket, level) -> PatchPoint:
        tag, _, channel = (wired or "").partition("/")
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
            mult=_mult(label),
        )

    for column, (*above, label, tag, socket, level, normal) in enumerate(_COLUMNS, 1):
        source = jack("A", column, Side.SEND, *above)
        if label:
            destination = jack("B", column, Side.RETURN, label, tag, socket, level)
            if normal:
                Normal.objects.create(source=source, destination=destination, kind=normal)
        word, _, number = source.label.partition(" ")
        if word in _WALL_BOXES:
            room, box = _WALL_BOXES[word]
            TieLine.objects.create(room=room, box=box, line=int(number), point=source)


def _mult(label: str) -> str:
    """The mult that a jack of this label belongs to: 1 of Mult 1 a."""
    word, *rest = label.split()[:2] or [""]
    return rest[0] if word == "Mult" else ""
