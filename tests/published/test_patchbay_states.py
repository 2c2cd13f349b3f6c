"""Patch-bay normals against published descriptions of them.

Sources on the upper row, inputs on the lower; the signal is that which reaches the lower return.
Full: a plug in either jack breaks the link. Half: only a plug in the lower jack does, one in the
upper is joined to the source (tvtechnology.com/opinions/jackfield-fullnormals-halfnormals-and-no-
normals-at-all; the same at videng.wiki/en/hardware/generic/patchbay). Open: no link. (Jacks of which
all are joined are a mult here.) The states are those sentences, spelt out.
"""

import pytest

from gear.patchbay.patch_list import End, Link
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Jack, NormalLink, Wiring

STATES = [
    ("full", False, False, "upper source"),
    ("full", True, False, "nothing"),
    ("full", False, True, "patched"),
    ("full", True, True, "patched"),
    ("half", False, False, "upper source"),
    ("half", True, False, "upper source"),
    ("half", False, True, "patched"),
    ("half", True, True, "patched"),
    ("open", False, False, "nothing"),
    ("open", True, False, "nothing"),
    ("open", False, True, "patched"),
    ("open", True, True, "patched"),
]


@pytest.mark.parametrize(("normal", "upper_plugged", "lower_plugged", "signal"), STATES)
def test_patch_list_breaks_the_normals_that_the_table_breaks(
    normal, upper_plugged, lower_plugged, signal
):
    """Read off what is computed for cords between four jacks of a bay."""
    upper, other = (Jack(n, "Bay", "A", n, "out", "line", "send") for n in (1, 2))
    lower, elsewhere = (Jack(n, "Bay", "B", n, "in", "line", "return") for n in (3, 4))
    normals = () if normal == "open" else (NormalLink(1, 3, normal),)
    wiring = Wiring((upper, other, lower, elsewhere), normals)
    away = [Link(End("source", upper), End("elsewhere", elsewhere))] if upper_plugged else []
    coming = [Link(End("other", other), End("input", lower))] if lower_plugged else []

    found = patch([*away, *coming], wiring)

    is_linked = bool(normals) and not found.normals_broken
    patched = any(cord.destination.jack == lower for cord in found.cords)
    assert signal == ("patched" if patched else "upper source" if is_linked else "nothing")
