"""The first pages of a sheet: its one patch list, as somebody with a handful of cords reads it."""

import re
from dataclasses import dataclass

from tests.sessions.recall.blind.sheet import Wire, ends_of
from tests.sessions.recall.blind.spans import Span, marked, text

JACK = re.compile(r"\*(.+?)\*")
TAG = re.compile(r"\(([A-Z]{2}-\d\d(?:/\d+)?)\)")
BREAKS = re.compile(r"the (full|half) normal ([A-Z]+\d+) → ([A-Z]+\d+)")
GOES_ON = re.compile(r"([A-Z]+\d+)\b[^;]{0,60}? goes on feeding \D*?(?:\d+ )?([A-Z]+\d+)\b")


@dataclass(frozen=True)
class PrintedPatch:
    """cords: their jacks by number. normals: upper and lower jack. direct: what is plugged into what.
    Chains by what they need. broken and tapped: by place alone, A3, as the paper names them."""

    cords: dict[str, tuple[str, str]]
    normals: set[tuple[str, str]]
    direct: set[tuple[str, str]]
    served: dict[object, set[int]]
    broken: set[tuple[str, str, str]]
    tapped: set[tuple[str, str]]


def read_patch_list(front: list[Span]) -> PrintedPatch:
    begin = next(i for i, span in enumerate(front) if span.is_heading and "Patch list" in span.text)
    end = next(i for i, span in enumerate(front) if span.words.startswith("How to read"))
    spans = front[begin:end]
    cords, said = _sections(marked(spans))
    normals = _listed(said.get("By the normals", ""))
    direct = _listed(said.get("Direct cables", ""))
    served = {number: _chains(words) for number, words in cords.items()}
    served |= {_jacks(*ends): chains for *ends, chains in normals}
    served |= {_named(*ends): chains for *ends, chains in direct}
    words = text(spans)
    return PrintedPatch(
        {number: _jacks(*ends_of(words)) for number, words in cords.items()},
        {_jacks(*ends) for *ends, _ in normals},
        {_named(*ends) for *ends, _ in direct},
        served,
        {found.groups() for found in BREAKS.finditer(words)},
        {found.groups() for found in GOES_ON.finditer(words)},
    )


def jacks_of(wire: Wire) -> tuple[str, str]:
    return _jacks(wire.start, wire.end)


def _sections(words: str) -> tuple[dict[str, str], dict[str, str]]:
    """What is said of each cord by its number, and of what needs none, by the words that head it."""
    listed, *rest = re.split(r"\*?\b(By the normals|Direct cables|Mult(?=:)|Clashes)[^:*]*:", words)
    parts = re.split(r"\[(\d+)\]", listed)[1:]
    cords = dict(zip(parts[::2], parts[1::2], strict=True))
    return cords, dict(zip(rest[::2], (f"*{said}" for said in rest[1::2]), strict=True))


def _listed(words: str) -> list[tuple[str, str, set[int]]]:
    """From what, to what, and for which chains."""
    found = re.finditer(r"([^;]+?) → ([^;]+?) \((chains? [\d, ]+)\)", words)
    return [(each[1].strip(), each[2].strip(), _chains(each[3])) for each in found]


def _chains(words: str) -> set[int]:
    [found] = re.findall(r"\bchains? (\d+(?:, \d+)*)", words)
    return {int(number) for number in found.split(", ")}


def _jacks(start: str, end: str) -> tuple[str, str]:
    found = JACK.search(start), JACK.search(end)
    assert all(found), f"no jack is named in “{start} → {end}”"
    return tuple(each[1].strip() for each in found)


def _named(start: str, end: str) -> tuple[str, str]:
    """The tags of two units; an input of the recorder by its name."""
    return TAG.search(start)[1], (TAG.findall(end) or [end])[0]
