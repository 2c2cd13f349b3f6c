"""Patch-bay normals against the state table of published patch-bay manuals.

Sources on the upper row, inputs on the lower; the signal is that which reaches the
lower return. Full: a plug in either jack breaks the link. Half: only a plug in the
lower jack does. Parallel: all jacks of a pair are joined. Open: no link.
"""

import pytest

from gear.audio.patchbay import signal_at_return


@pytest.mark.parametrize(
    ("normal", "upper_plugged", "lower_plugged", "signal"),
    [
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
        ("parallel", False, False, "upper source"),
        ("parallel", True, False, "upper source"),
        ("parallel", False, True, "joined"),
        ("parallel", True, True, "joined"),
    ],
)
def test_state_table(normal, upper_plugged, lower_plugged, signal):
    assert signal_at_return(normal, upper_plugged, lower_plugged) == signal
