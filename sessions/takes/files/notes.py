"""What recorders write into a WAV file: its `bext` and iXML chunks. No Django here.

The readers of wavinfo fail in as many ways as there are damaged chunks, so each chunk is read apart
and whatever goes wrong is caught. For files from outside use `child.py`, which is also safe from hangs.
"""

import re

from wavinfo.wave_bext_reader import WavBextReader
from wavinfo.wave_ixml_reader import WavIXMLFormat

MOST_TRACKS = 128
LONGEST_TEXT = 1000
LONGEST_HISTORY = 10_000  # of the coding, a line for each time that it was recorded anew
LARGEST = 2**63 - 1  # that a database holds


def broadcast_facts(chunk: bytes) -> dict | None:
    """The facts of a `bext` chunk (EBU Tech 3285); None when it can't be read.

    `time_reference` counts sample frames from midnight to the first frame of the file.
    """
    try:
        bext = WavBextReader(chunk, "latin-1")
    except Exception:  # see above
        return None
    return {
        "description": _text(bext.description),
        "originator": _text(bext.originator),
        "originator_reference": _text(bext.originator_ref),
        "origination_date": _text(bext.originator_date),
        "origination_time": _text(bext.originator_time),
        "time_reference": min(bext.time_reference, LARGEST),
        "coding_history": _text(bext.coding_history)[:LONGEST_HISTORY],
    }


def recorder_facts(chunk: bytes) -> dict | None:
    """The facts of an `iXML` chunk; None when it can't be read, "" or None where an element is absent.

    `is_whole` is false where only part of it could be read. The time reference is that of SPEED, else
    that of the copy of `bext` that iXML may hold; its rate is None in the latter case.
    """
    try:
        ixml = WavIXMLFormat(chunk.rstrip(b"\0"))
        tree = ixml.parsed
        tracks = list(ixml.track_list) if tree.find("./TRACK_LIST") is not None else []
        return {
            **{name: _element(tree, name.upper()) for name in ("project", "scene", "tape", "take")},
            "note": _element(tree, "NOTE"),
            "circled": _element(tree, "CIRCLED").upper() == "TRUE",
            "take_type": _element(tree, "TAKE_TYPE"),
            "track_names": [_printable(track.name) for track in tracks[:MOST_TRACKS]],
            "origination_date": _element(tree, "BEXT/BWF_ORIGINATION_DATE"),
            "origination_time": _element(tree, "BEXT/BWF_ORIGINATION_TIME"),
            **_time_stamp(tree),
            "is_whole": not len(tree.parser.error_log),
        }
    except Exception:  # see above
        return None


def _time_stamp(tree) -> dict:
    # One writer in the wild leaves out the S of SAMPLES.
    for name in ("TIMESTAMP_SAMPLES_SINCE_MIDNIGHT", "TIMESTAMP_SAMPLE_SINCE_MIDNIGHT"):
        if (low := _number(tree, f"SPEED/{name}_LO")) is not None:
            samples = ((_number(tree, f"SPEED/{name}_HI") or 0) << 32) + low
            return {
                "time_reference": min(samples, LARGEST),
                "time_reference_rate": _number(tree, "SPEED/TIMESTAMP_SAMPLE_RATE")
                or _number(tree, "SPEED/FILE_SAMPLE_RATE"),
            }
    low = _number(tree, "BEXT/BWF_TIME_REFERENCE_LOW")
    high = _number(tree, "BEXT/BWF_TIME_REFERENCE_HIGH") or 0
    samples = None if low is None else min((high << 32) + low, LARGEST)
    return {"time_reference": samples, "time_reference_rate": None}


def _number(tree, path: str) -> int | None:
    found = re.fullmatch(r"\d{1,19}", _element(tree, path), re.ASCII)
    return int(found[0]) if found else None


def _element(tree, path: str) -> str:
    return _printable(tree.findtext(f"./{path}") or "")


def _printable(text: str) -> str:
    """In one line, without what can't be shown or would turn the direction of writing."""
    return "".join(sign for sign in " ".join(text.split()) if sign.isprintable())[:LONGEST_TEXT]


def _text(latin: str) -> str:
    """The standard asks for ASCII; UTF-8 and Latin-1 are met as well."""
    try:
        return latin.encode("latin-1").decode("utf-8")
    except UnicodeDecodeError:
        return latin
