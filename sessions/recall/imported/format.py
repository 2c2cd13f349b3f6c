"""How another program writes a recall sheet: the schema, as a page tells it."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from sessions.recall.imported import reading, sense
from sessions.recall.sheet.schema import SCHEMA_FILE

WORDS = {
    "string": "text",
    "number": "number",
    "integer": "whole number",
    "boolean": "true or false",
    "object": "object",
    "array": "list",
    "null": "null",
}


@dataclass(frozen=True)
class Field:
    """`kind` in words; `of`: the name of the object that it holds, or a list of it, else empty."""

    name: str
    kind: str
    of: str
    needed: bool
    meaning: str


@dataclass(frozen=True)
class FormatObject:
    name: str
    meaning: str
    fields: tuple[Field, ...]

    @property
    def title(self) -> str:
        return self.name.replace("_", " ").capitalize()


@cache
def objects_of_format() -> tuple[FormatObject, ...]:
    """The file itself, then what stands in it, in the order in which it is first spoken of."""
    schema = json.loads(SCHEMA_FILE.read_text("utf-8"))
    needed = _needed_now(schema)
    found, waiting = [_object("", schema, needed)], []
    seen: set[str] = set()
    waiting += [field.of for field in found[0].fields if field.of]
    while waiting:
        name = waiting.pop(0)
        if name in seen:
            continue
        seen.add(name)
        found.append(_object(name, schema["$defs"][name], needed))
        waiting += [field.of for field in found[-1].fields if field.of]
    return tuple(found)


def _object(name: str, facts: dict, needed: dict[str, set[str]]) -> FormatObject:
    required = set(facts.get("required", ())) | needed.get(name, set())
    return FormatObject(
        name,
        facts.get("description", ""),
        tuple(
            Field(key, *_kind(value), key in required, value.get("description", ""))
            for key, value in facts.get("properties", {}).items()
        ),
    )


def _needed_now(schema: dict) -> dict[str, set[str]]:
    """What the newest version needs beside what every one needs: by the name of the object."""
    where = {"chains": "chain", "takes": "take", "stages": "stage", "source_facts": "source_facts"}
    found: dict[str, set[str]] = {}

    def gather(name: str, rule: dict) -> None:
        found.setdefault(name, set()).update(rule.get("required", ()))
        for key, inner in rule.get("properties", {}).items():
            gather(where[key], inner.get("items", inner))

    for later in schema.get("allOf", ()):
        gather("", later["then"])
    return found


def _kind(facts: dict) -> tuple[str, str]:
    """In words, and the name of the object in it."""
    if "$ref" in facts:
        name = facts["$ref"].rpartition("/")[2]
        return "object", name
    if "const" in facts:
        return f"“{facts['const']}”", ""
    if "enum" in facts:
        return " or ".join(f"“{word}”" for word in facts["enum"]), ""
    if "oneOf" in facts:
        kinds = [_kind(each) for each in facts["oneOf"]]
        return " or ".join(kind for kind, _ in kinds), next((of for _, of in kinds if of), "")
    types = facts.get("type", "object")
    types = [types] if isinstance(types, str) else types
    if types == ["array"]:
        kind, of = _kind(facts["items"])
        return f"list of {'objects' if of or kind == 'object' else f'“{kind}”'}", of
    return " or ".join(_narrowed(WORDS[each], facts) for each in types), ""


def _narrowed(word: str, facts: dict) -> str:
    if "number" not in word:
        return word
    if "exclusiveMinimum" in facts:
        return f"{word} above {facts['exclusiveMinimum']}"
    least, most = facts.get("minimum"), facts.get("maximum")
    if least is not None and most is not None:
        return f"{word}, {least} to {most}"
    return f"{word}, at least {least}" if least is not None else word


def limits() -> Iterator[tuple[str, str]]:
    """What a file may hold, in words and figures."""
    yield "The JSON file", f"{reading.JSON_LIMIT >> 20} MB"
    yield "A PDF with it attached", f"{reading.PDF_LIMIT >> 20} MB"
    yield "Chains", f"{sense.MOST_CHAINS}"
    yield "Units of a chain; of all", f"{sense.MOST_STAGES}; {sense.MOST_STAGES_IN_ALL}"
    yield (
        "Controls of a panel; of all",
        f"{sense.MOST_CONTROLS}; {sense.MOST_CONTROLS_IN_ALL}",
    )
    yield "A control’s key", f"{sense.LONGEST_KEY} letters"
    yield "Chosen takes", f"{sense.MOST_TAKES}"
    yield "A text", f"{sense.LONGEST_TEXT} letters"
