"""Lengths and orders of times are computed in UTC: the code is read for what Python gets wrong.

Of two datetimes of one zone Python compares and subtracts what their clocks show, an hour off over a
change of the clocks (documentation of `datetime`, "naive" and "aware" subtraction: where both have
the same tzinfo, it is ignored).
"""

import ast
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from sessions.bookings.fields import StudioTimeField

ROOT = Path(__file__).resolve().parents[2]
#: The one place where a time on the clock becomes an instant.
MADE_IN = ROOT / "sessions" / "periods.py"
FILES = [
    path
    for folder in ("gear", "sessions", "studio")
    for path in sorted((ROOT / folder).rglob("*.py"))
    if "migrations" not in path.parts
]
IN_ORDER = (ast.Lt, ast.LtE, ast.Gt, ast.GtE)


def is_local(node: ast.AST, names: set[str]) -> bool:
    """A call of `localtime`, or a name that such a call was given."""
    if isinstance(node, ast.Call):
        called = node.func
        return getattr(called, "attr", getattr(called, "id", "")) == "localtime"
    return isinstance(node, ast.Name) and node.id in names


def local_names(function: ast.AST) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(function):
        if isinstance(node, ast.Assign):
            for target in node.targets:
                pairs = [(target, node.value)]
                if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                    pairs = list(zip(target.elts, node.value.elts, strict=False))
                names |= {
                    name.id
                    for name, value in pairs
                    if isinstance(name, ast.Name) and is_local(value, set())
                }
    return names


def wrong_in(source: str) -> list[int]:
    """Lines that order or subtract two times on the clock."""
    found = []
    for function in ast.walk(ast.parse(source)):
        if not isinstance(function, ast.FunctionDef):
            continue
        names = local_names(function)
        for node in ast.walk(function):
            sides: list[ast.AST] = []
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Sub):
                sides = [node.left, node.right]
            elif isinstance(node, ast.Compare) and isinstance(node.ops[0], IN_ORDER):
                sides = [node.left, *node.comparators]
            if sum(is_local(side, names) for side in sides) > 1:
                found.append(node.lineno)
    return found


@pytest.mark.parametrize(
    ("source", "lines"),
    [
        ("def f(a, b):\n    return localtime(b) - timezone.localtime(a)", [2]),
        ("def f(a, b):\n    a, b = localtime(a), localtime(b)\n    return a < b", [3]),
        ("def f(a, b):\n    return localtime(b).date() - localtime(a).date()", []),
        ("def f(a):\n    local = localtime(a)\n    return local - DAY", []),
    ],
)
def test_what_the_reading_finds(source, lines):
    assert wrong_in(source) == lines


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_length_or_order_is_taken_on_the_clock(path):
    source = path.read_text()

    assert wrong_in(source) == []
    assert path == MADE_IN or "make_aware(" not in source, "use sessions.periods.instant_of"


def test_typed_times_are_instants_in_utc():
    """Europe/London, 25 October 2026, 00:00 to 03:00 on the clock: four hours (tz database)."""
    field = StudioTimeField()
    since, until = field.clean("2026-10-25T00:00"), field.clean("2026-10-25T03:00")

    assert since.tzinfo is until.tzinfo is UTC
    assert until - since == timedelta(hours=4)


def test_python_is_an_hour_off_where_both_are_of_one_zone():
    """Why: the same two times."""
    london = ZoneInfo("Europe/London")
    since, until = (datetime(2026, 10, 25, hour, tzinfo=london) for hour in (0, 3))

    assert until - since == timedelta(hours=3)
