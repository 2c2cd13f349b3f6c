"""Checking data against a JSON Schema: the part of draft 2020-12 that our schema is written in."""

import math
import re

_TYPES = {
    "object": dict,
    "array": list,
    "string": str,
    "boolean": bool,
    "integer": int,
    "number": (int, float),
    "null": type(None),
}
#: Every keyword that is checked or that says nothing about the data; any other is refused.
KEYWORDS = frozenset(
    [
        "$schema",
        "$defs",
        "$ref",
        "title",
        "description",
        "format",
        "type",
        "const",
        "enum",
        "properties",
        "required",
        "additionalProperties",
        "items",
        "oneOf",
        "minimum",
        "exclusiveMinimum",
        "pattern",
    ]
)


class Mismatch(ValueError):
    """The data is not as the schema says; the message names the place."""

    def __init__(self, where: str, what: str):
        super().__init__(f"{where or 'the whole'}: {what}")


def check(data, schema: dict) -> None:
    """Raises Mismatch at the first place where the data is not as the schema says."""
    _check(data, schema, "", schema)


def _check(data, rule: dict | bool, where: str, root: dict) -> None:
    if unknown := set(rule) - KEYWORDS:
        raise NotImplementedError(f"The schema uses {sorted(unknown)}, which is not checked here.")
    if "$ref" in rule:
        _check(data, root["$defs"][rule["$ref"].removeprefix("#/$defs/")], where, root)
    if "oneOf" in rule:
        _check_one_of(data, rule["oneOf"], where, root)
    _check_value(data, rule, where)
    if isinstance(data, dict):
        _check_object(data, rule, where, root)
    if isinstance(data, list) and "items" in rule:
        for number, item in enumerate(data, 1):
            _check(item, rule["items"], f"{where}[{number}]", root)


def _check_value(data, rule: dict, where: str) -> None:
    types = rule.get("type", [])
    types = [types] if isinstance(types, str) else types
    if types and not any(_is(data, name) for name in types):
        raise Mismatch(where, f"must be {' or '.join(types)}")
    if "const" in rule and data != rule["const"]:
        raise Mismatch(where, f"must be {rule['const']!r}")
    if "enum" in rule and data not in rule["enum"]:
        raise Mismatch(where, "is a word that is not known here")
    if not _is(data, "number"):
        if "pattern" in rule and isinstance(data, str) and not re.search(rule["pattern"], data):
            raise Mismatch(where, "has letters that are not allowed")
        return
    if data < rule.get("minimum", -math.inf):
        raise Mismatch(where, f"must be at least {rule['minimum']}")
    if data <= rule.get("exclusiveMinimum", -math.inf):
        raise Mismatch(where, f"must be above {rule['exclusiveMinimum']}")


def _check_object(data: dict, rule: dict, where: str, root: dict) -> None:
    for name in rule.get("required", []):
        if name not in data:
            raise Mismatch(where, f"lacks “{name}”")
    known, further = rule.get("properties", {}), rule.get("additionalProperties", True)
    for name, value in data.items():
        place = f"{where}.{name[:40]}".lstrip(".")
        if name in known:
            _check(value, known[name], place, root)
        elif further is False:
            raise Mismatch(place, "is not known here")
        elif further is not True:
            _check(value, further, place, root)


def _check_one_of(data, rules: list[dict], where: str, root: dict) -> None:
    problems = []
    for rule in rules:
        try:
            _check(data, rule, where, root)
        except Mismatch as problem:
            problems.append(problem)
        else:
            return
    raise problems[0]


def _is(data, name: str) -> bool:
    if isinstance(data, bool):
        return name == "boolean"
    if name == "integer" and isinstance(data, float):
        return data.is_integer()
    return isinstance(data, _TYPES[name])
