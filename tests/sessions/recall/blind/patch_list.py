"""The first pages of a sheet: its one patch list, as somebody with a handful of cords reads it."""

import re
from dataclasses import dataclass

from tests.sessions.recall.blind.sheet import Wire, ends_of
from tests.sessions.recall.blind.spans import Span, marked, split_at

JACK = re.compile(r"\*(.+?)\*")
TAG = re.compile(r"\(([A-Z]{2}-\d\d(?:/\d+)?)\)")
BREAKS = re.compile(r"the (full|half) normal ([A-Z]+\d+) → ([A-Z]+\d+)")
GOES_ON = re.compile(r"([A-Z]+\d+)\b[^;]{0,60}? goes on feeding \D*?(?:\d+ )?([A-Z]+\d+)\b")


@dataclass(frozen=True)
class PrintedPatch:
    """What is plugged at one time, and for which chains of the sheet; empty where for all.

    walls: what is plugged in, by line of a wall box. cords: their jacks by number. normals: upper and lower jack. direct: what is plugged into what.
    served: the chains by what they need. broken and tapped: by place alone, A3, as the paper names them.
    """

    chains: set[int]
    walls: dict[str, str]
    cords: dict[str, tuple[str, str]]
    normals: set[tuple[str, str]]
    direct: set[tuple[str, str]]
    served: dict[object, set[int]]
    broken: set[tuple[str, str, str]]
    tapped: set[tuple[str, str]]


def read_patch_lists(front: list[Span]) -> list[PrintedPatch]:
    begin = next(i for i, span in enumerate(front) if span.is_heading and "Patch list" in span.text)
    end = next(i for i, span in enumerate(front) if span.words.startswith("How to read"))
    spans, lots, known = front[begin:end], [], {}
    for lot in list(split_at(spans, _heads_lot)) or [spans]:
        patch, known = _lot(marked(lot), known)
        lots.append(patch)
    return lots


def _heads_lot(span: Span) -> bool:
    return span.is_name and span.bold and span.words.startswith("Chain")


def _lot(words: str, known: dict[str, str]) -> tuple[PrintedPatch, dict[str, str]]:
    """With what is said of the cords, by number, also for the lots below."""
    head = re.match(r"\*Chains? ([\d, ]+)\*", words)
    above = re.search(r"Cords? ((?:\[\d+\] ?\(chains? [\d, ]+\),? ?)+)as above", words)
    cords, said = _sections(words.replace(above[0], "") if above else words)
    normals = _listed(said.get("By the normals", ""))
    direct = _listed(said.get("Direct cables", ""))
    served = {number: _chains(said_of_it) for number, said_of_it in cords.items()}
    served |= {_jacks(*ends): chains for *ends, chains in normals}
    served |= {_named(*ends): chains for *ends, chains in direct}
    known = known | cords
    for number, chains in re.findall(r"\[(\d+)\] ?\((.+?)\)", above[1] if above else ""):
        cords[number], served[number] = known[number], _chains(chains)
    claims = " ".join(cords.values()) + said.get("By the normals", "")
    patch = PrintedPatch(
        _numbers(head[1]) if head else set(),
        _walls(words),
        {number: _jacks(*ends_of(said_of_it)) for number, said_of_it in cords.items()},
        {_jacks(*ends) for *ends, _ in normals},
        {_named(*ends) for *ends, _ in direct},
        served,
        {found.groups() for found in BREAKS.finditer(claims)},
        {found.groups() for found in GOES_ON.finditer(claims)},
    )
    return patch, known


def jacks_of(wire: Wire) -> tuple[str, str]:
    return _jacks(wire.start, wire.end)


def _walls(words: str) -> dict[str, str]:
    found = re.search(r"\*Wall boxes:\*? ?(.*?) ?\. (?=\[\d|\*By|\*Direct|$)", words)
    return {
        f"{box} {number}": tag
        for line in (found[1].split(";") if found else ())
        for box, _, plugged in [line.strip().partition(": ")]
        for number, tag in re.findall(r"(\d+) \*(.+?)\*", plugged)
    }


def phantom_by_input(front: list[Span]) -> dict[str, set[str]]:
    """What 48 V is to inputs, by the words for it."""
    found = re.search(r"\*Phantom power: ?(.*?) ?\. \*", marked(front))
    listed = re.findall(r"\*?([^*;]+?)\* at ([^;]+)", found[1]) if found else ()
    return {words.strip(): set(inputs.strip().split(", ")) for words, inputs in listed}


def _sections(words: str) -> tuple[dict[str, str], dict[str, str]]:
    """What is said of each cord by its number, and of what needs none, by the words that head it."""
    listed, *rest = re.split(
        r"\*?\b(By the normals|Direct cables|Mult(?=:)|Returns(?=:)|Clashes)[^:*]*:", words
    )
    parts = re.split(r"\[(\d+)\]", listed)[1:]
    cords = dict(zip(parts[::2], parts[1::2], strict=True))
    return cords, dict(zip(rest[::2], (f"*{said}" for said in rest[1::2]), strict=True))


def _listed(words: str) -> list[tuple[str, str, set[int]]]:
    """From what, to what, and for which chains."""
    found = re.finditer(r"([^;]+?) → ([^;]+?) \((chains? [\d, ]+)\)", words)
    return [(each[1].strip(), each[2].strip(), _chains(each[3])) for each in found]


def _chains(words: str) -> set[int]:
    """Those that are named last: before them may stand whose normal is broken."""
    return _numbers(re.findall(r"\bchains? (\d+(?:, \d+)*)", words)[-1])


def _numbers(words: str) -> set[int]:
    return {int(number) for number in words.split(", ")}


def _jacks(start: str, end: str) -> tuple[str, str]:
    found = JACK.search(start), JACK.search(end)
    assert all(found), f"no jack is named in “{start} → {end}”"
    return tuple(each[1].strip() for each in found)


def _named(start: str, end: str) -> tuple[str, str]:
    """The tags of two units; an input of the recorder by its name."""
    return TAG.search(start)[1], (TAG.findall(end) or [end])[0]
