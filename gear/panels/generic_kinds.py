"""Generic panels to start from: what such equipment usually has, laid out by us.

They stand for no product. Ranges and the places of marks are plain ones of our own, to be put
right against the unit in the rack. Their controls stand in `generic_panels.csv`, in signal order,
each as it would be typed in the editor.
"""

import csv
from pathlib import Path


def _read() -> dict[str, list[dict[str, str]]]:
    kinds: dict[str, list[dict[str, str]]] = {}
    with Path(__file__).with_name("generic_panels.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            kinds.setdefault(row.pop("panel"), []).append(row)
    return kinds


#: Rows of the editor by the name of their panel.
GENERIC_KINDS = _read()
