"""The rows of the panel's editor as they are posted: moved, doubled, added and removed.

Nothing is read or checked here, so whatever was typed stays as it is.
"""

from django.http import QueryDict

from gear.asked import whole_number
from gear.panels.forms import ControlForm
from gear.panels.generic_kinds import GENERIC_KINDS

PREFIX = "controls"
NAMES = list(ControlForm.base_fields)

Row = dict[str, str]


def rearranged(data: QueryDict) -> tuple[QueryDict, int | None]:
    """What a press of `do` makes of the rows, and the number of the row to go on with.

    do is up, down, copy or remove with a row's number (up-3), or add, lay-out, draw.
    """
    verb, _, number = data.get("do", "").rpartition("-")
    rows = _rows(data)
    at = whole_number(number)
    if verb and at is not None and at < len(rows):
        at = _PRESSES.get(verb, _nothing)(rows, at)
    elif data.get("do") == "add":
        rows.append({})
        at = len(rows) - 1
    elif data.get("do") == "lay-out":
        at = _lay_out(rows, data.get("kind", ""))
    else:
        at = None
    return _written(data, rows), at


def as_rows(data: QueryDict) -> QueryDict:
    """The posted form with every row a new one: rows have no other identity than their order."""
    data = data.copy()
    data[f"{PREFIX}-INITIAL_FORMS"] = "0"
    return data


def _rows(data: QueryDict) -> list[Row]:
    count = whole_number(data.get(f"{PREFIX}-TOTAL_FORMS")) or 0
    return [
        {name: data.get(f"{PREFIX}-{number}-{name}", "") for name in NAMES}
        for number in range(min(count, 200))
    ]


def _written(data: QueryDict, rows: list[Row]) -> QueryDict:
    kept = QueryDict(mutable=True)
    for name in ("seen", "kind"):
        kept[name] = data.get(name, "")
    kept[f"{PREFIX}-TOTAL_FORMS"], kept[f"{PREFIX}-INITIAL_FORMS"] = str(len(rows)), "0"
    for number, row in enumerate(rows):
        for name, value in (BLANK | row).items():
            kept[f"{PREFIX}-{number}-{name}"] = value
    return kept


def _lay_out(rows: list[Row], kind: str) -> int | None:
    """The generic kind's controls after those that are there."""
    first = len(rows)
    rows += GENERIC_KINDS.get(kind, [])
    return first if len(rows) > first else None


def _up(rows: list[Row], at: int) -> int:
    to = max(at - 1, 0)
    rows[at], rows[to] = rows[to], rows[at]
    return to


def _down(rows: list[Row], at: int) -> int:
    to = min(at + 1, len(rows) - 1)
    rows[at], rows[to] = rows[to], rows[at]
    return to


def _copy(rows: list[Row], at: int) -> int:
    """The copy comes next, without the key: no two controls share one."""
    rows.insert(at + 1, rows[at] | {"key": ""})
    return at + 1


def _remove(rows: list[Row], at: int) -> int | None:
    del rows[at]
    return min(at, len(rows) - 1) if rows else None


def _nothing(rows: list[Row], at: int) -> int:
    return at


_PRESSES = {"up": _up, "down": _down, "copy": _copy, "remove": _remove}
#: A row in which nothing was typed yet, as the form reads it.
BLANK = {
    name: "" if value is None else str(value)
    for name, value in ((name, ControlForm()[name].value()) for name in NAMES)
}
