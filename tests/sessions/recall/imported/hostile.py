"""Files that were made to do harm, by seed: what a sheet might be cut, stuffed, twisted or blown up to.

Some of them are sound, if odd, and are read; the others are refused in a sentence.
"""

import copy
import io
import json
import random
import zipfile
from collections.abc import Callable, Iterator

from sessions.recall.sheet.schema import EXAMPLE_FILE, SCHEMA_FILE
from tests.sessions.recall.imported.bombs import pdf_of_bombs
from tests.sessions.recall.imported.test_reading import RECALL, pdf_with

EXAMPLE = json.loads(EXAMPLE_FILE.read_text("utf-8"))
SCHEMA = json.loads(SCHEMA_FILE.read_text("utf-8"))
MEGABYTE = 1 << 20

STRANGE_TEXTS = [
    "<script>alert(1)</script>",
    "\u202egnp.tac\u202c",
    "a" + "\u0301" * 400,
    "\x1b[2J\x07\x08\r\n",
    "\ud800",
    "x\x00y",
    "{{ request.user }}{% load x %}",
    "=cmd|'/c x'!A1",
    "../../../etc/passwd",
    "\U0001f3bb" * 90,
    "x" * 9_000,
    "x" * 20_000,
    "",
    " ",
]
STRANGE_VALUES = [
    None,
    True,
    [],
    {},
    "",
    "12",
    -1,
    0,
    1e11,
    1e300,
    10**40,
    -1e9,
    0.1,
    99_999,
    [[[]]],
]
EXTREME_NUMBERS = [-1, 0, 1, -9_999, 9_998, 1e-12, 12_345.678, 5e11, -5e11, 150, 3.2e4, 1e6]


def hostile(seed: int) -> tuple[str, bytes]:
    """What it is, and the file."""
    chance = random.Random(seed)
    kind = KINDS[seed % len(KINDS)]
    return kind.__name__.strip("_").replace("_", " "), kind(chance)


def _sample(chance: random.Random) -> dict:
    return copy.deepcopy(chance.choice([RECALL, EXAMPLE, EXAMPLE]))


def _as_json(data) -> bytes:
    return json.dumps(data).encode()


def _places(data, kind) -> Iterator[tuple[dict | list, object]]:
    """Where a value of this kind stands: what holds it, and under which name."""
    inside = data.items() if isinstance(data, dict) else enumerate(data)
    for name, value in inside:
        if isinstance(value, kind) and not isinstance(value, bool):
            yield data, name
        if isinstance(value, dict | list):
            yield from _places(value, kind)


def _with_changed(chance: random.Random, kind, values: list, most: int) -> bytes:
    data = _sample(chance)
    places = [each for each in _places(data, kind) if each[1] not in ("format", "version")]
    for holder, name in chance.sample(places, min(len(places), chance.randint(1, most))):
        holder[name] = chance.choice(values)
    return _as_json(data)


def _cut(chance: random.Random) -> bytes:
    content = _as_json(_sample(chance))
    content = chance.choice([content, pdf_with(recall_json=content)])
    return content[: chance.randrange(len(content))]


def _of_wrong_types(chance: random.Random) -> bytes:
    return _with_changed(chance, object, STRANGE_VALUES, 3)


def _with_strange_texts(chance: random.Random) -> bytes:
    return _with_changed(chance, str, STRANGE_TEXTS, 1)


def _with_strange_titles(chance: random.Random) -> bytes:
    data = _sample(chance)
    for name in ("title", "artist", "project", "client", "key", "note"):
        data["song"][name] = chance.choice(STRANGE_TEXTS)
    data["studio"] = chance.choice(STRANGE_TEXTS)
    return _as_json(data)


def _with_extreme_numbers(chance: random.Random) -> bytes:
    return _with_changed(chance, int | float, EXTREME_NUMBERS, chance.choice([1, 1, 2, 40]))


def _with_extreme_settings(chance: random.Random) -> bytes:
    """Sound, but for what was set and measured."""
    data = _sample(chance)
    for chain in data["chains"]:
        chain["levels"]["source_spl_db"] = chance.choice(EXTREME_NUMBERS)
        for stage in chain["stages"]:
            for key in stage["settings"]:
                stage["settings"][key] = chance.choice(EXTREME_NUMBERS)
    return _as_json(data)


def _of_extreme_panels(chance: random.Random) -> bytes:
    data = _sample(chance)
    for chain in data["chains"]:
        for stage in chain["stages"]:
            for control in stage["panel"]["controls"] if stage["panel"] else ():
                scale = chance.choice([1e-9, 1, 1e3, 1e10])
                for mark in control["marks"]:
                    mark["value"] *= scale
                control["scale"] = chance.choice(["linear", "log"])
                control["meaning"] = chance.choice(
                    SCHEMA["$defs"]["control"]["properties"]["meaning"]["enum"]
                )
    return _as_json(data)


def _nested(chance: random.Random) -> bytes:
    deep = chance.choice([25, 200, 900, 5_000, 2_000_000])
    many = max(1, chance.choice([1, 1, 4 * MEGABYTE // (2 * deep)]))
    nest = ",".join(["[" * deep + "]" * deep] * many)
    data = json.dumps(RECALL | {chance.choice(["takes", "chains", "note", "song"]): "@"})
    return data.replace('"@"', f"[{nest}]", 1).encode()


def _not_numbers(chance: random.Random) -> bytes:
    word = chance.choice(["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "1" * 5_000, "0x10"])
    return _as_json(_sample(chance)).replace(b'"revision": 1', f'"revision": {word}'.encode())


def _said_twice(chance: random.Random) -> bytes:
    text = json.dumps(_sample(chance))
    return text.replace('"studio"', '"studio": "Another", "studio"', 1).encode()


def _not_utf8(chance: random.Random) -> bytes:
    content = bytearray(_as_json(_sample(chance)))
    for _ in range(chance.randint(1, 5)):
        content[chance.randrange(len(content))] = chance.choice([0x80, 0xC0, 0xFF, 0xFE, 0])
    encoded = (
        _as_json(_sample(chance)).decode().encode(chance.choice(["utf-16", "utf-32", "utf-7"]))
    )
    return chance.choice([bytes(content), encoded])


def _of_another_version(chance: random.Random) -> bytes:
    versions = [-1, 0, 1, 2, 3, 4, 5, 7, 99, 1.5, "6", None, True, 10**9]
    return _as_json(_sample(chance) | {"version": chance.choice(versions)})


def _of_many(chance: random.Random) -> bytes:
    """Ten thousand chains, as many takes, units, controls, marks or keys."""
    data, many = copy.deepcopy(RECALL), chance.choice([150, 1_000, 10_000])
    chain = data["chains"][0]
    stage = chain["stages"][0]
    control = stage["panel"]["controls"][0]
    match chance.randrange(6):
        case 0:
            data["chains"] = [chain | {"place": place} for place in range(1, many + 1)]
        case 1:
            data["takes"] = copy.deepcopy(EXAMPLE["takes"]) * many
        case 2:
            chain["stages"] = [stage | {"position": place} for place in range(1, many + 1)]
        case 3:
            stage["panel"]["controls"] += [control | {"key": f"k{n}"} for n in range(many)]
        case 4:
            marks = [{"value": n, "angle": n / many * 300 - 150, "label": ""} for n in range(many)]
            control["marks"] = marks
        case 5:
            chain["measurements"] = {f"{n}": [n] * 20 for n in range(many)}
    return _as_json(data)[: 6 * MEGABYTE]


def _of_many_links(chance: random.Random) -> bytes:
    data = copy.deepcopy(EXAMPLE)
    found = data["patching"]["lots"][0]["patch_list"]
    if found["links"]:
        found["links"] *= chance.choice([2, 50, 1_000])
    for chain in data["chains"]:
        chain["patch_list"]["links"] *= chance.choice([1, 2, 300])
        chain["connections"] *= chance.choice([0, 1, 3])
    return _as_json(data)


def _of_measurements(chance: random.Random) -> bytes:
    """As many as there may be or more, up to whatever unit, with figures as high as they may be."""
    data = copy.deepcopy(EXAMPLE)
    for chain in data["chains"]:
        measured = copy.deepcopy(EXAMPLE["chains"][0]["measurements"])
        [full] = measured["full"]
        full["result"]["response_db"] = [chance.choice([None, 400, -400, 0.1]) for _ in range(241)]
        full["result"]["noise_dbfs"] = full["fed_dbu"] = chance.choice([-400, 400])
        full["result"]["faults"] *= chance.choice([0, 60])
        measured["full"] = [
            full | {"through_stage": chance.choice([None, 1, 2, 3, 3, 4])}
            for _ in range(chance.choice([1, 20, 60, 61]))
        ]
        chain["measurements"] = measured
    return _as_json(data)


def _as_large_as_it_may_be(chance: random.Random) -> bytes:
    """Within every limit at once."""
    data = copy.deepcopy(EXAMPLE)
    chains = data["chains"]
    many = chance.choice([40, 90])
    data["chains"] = [
        copy.deepcopy(chains[n % len(chains)]) | {"place": n + 1, "track": f"Track {n}"}
        for n in range(many)
    ]
    return _as_json(data)


def _blown_up(chance: random.Random) -> bytes:
    return pdf_of_bombs(megabytes=chance.choice([6, 60, 200]), attachments=chance.choice([1, 20]))


def _broken_pdf(chance: random.Random) -> bytes:
    content = bytearray(pdf_with(recall_json=_as_json(_sample(chance))))
    for _ in range(chance.randint(1, 200)):
        content[chance.randrange(len(content))] = chance.randrange(256)
    return b"%PDF-1.7" + bytes(content)


def _pdf_of_brackets(chance: random.Random) -> bytes:
    opening = chance.choice([b"[", b"<<", b"<</A ", b"(", b"1 0 obj "])
    head = chance.choice([b"%PDF-1.7\n1 0 obj\n", b"%PDF-1.7\ntrailer\n<< /Root "])
    tail = chance.choice([b"", b"\nstartxref\n9\n%%EOF"])
    return head + opening * (chance.choice([1, 4]) * MEGABYTE // len(opening)) + tail


def _of_another_kind(chance: random.Random) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("recall.json", " " * 5 * MEGABYTE)
    noise = chance.randbytes(200_000)
    return chance.choice(
        [packed.getvalue(), b"RIFF\x00\x00WAVE", b"\x89PNG\r\n\x1a\n" + noise, noise]
        + [b"", b"null", b"[]", b'"recall sheet"', b"\xef\xbb\xbf", b"{}", b" " * 4 * MEGABYTE]
    )


KINDS: list[Callable[[random.Random], bytes]] = [
    _cut,
    _of_wrong_types,
    _with_strange_texts,
    _with_strange_titles,
    _with_extreme_numbers,
    _with_extreme_settings,
    _of_extreme_panels,
    _nested,
    _not_numbers,
    _said_twice,
    _not_utf8,
    _of_another_version,
    _of_many,
    _of_many_links,
    _of_measurements,
    _as_large_as_it_may_be,
    _blown_up,
    _broken_pdf,
    _pdf_of_brackets,
    _of_another_kind,
]
