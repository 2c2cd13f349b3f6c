"""Notes that recorders leave in a Broadcast Wave file."""

from wavinfo.wave_bext_reader import WavBextReader
from wavinfo.wave_ixml_reader import WavIXMLFormat

MAX_TRACK_NAMES = 128


def broadcast_facts(chunk: bytes) -> dict | None:
    """The facts of a `bext` chunk (EBU Tech 3285); None when it can't be read.

    `time_reference` counts sample frames from midnight to the first frame of the file.
    """
    try:
        bext = WavBextReader(chunk, "latin-1")
    except Exception:  # the reader fails in as many ways as there are damaged chunks
        return None
    return {
        "description": _text(bext.description),
        "originator": _text(bext.originator),
        "originator_reference": _text(bext.originator_ref),
        "origination_date": _text(bext.originator_date),
        "origination_time": _text(bext.originator_time),
        "time_reference": bext.time_reference,
        "coding_history": _text(bext.coding_history),
    }


def recorder_facts(chunk: bytes) -> dict | None:
    """The facts of an `iXML` chunk, "" where an element is absent; None when it can't be read."""
    try:
        ixml = WavIXMLFormat(chunk.rstrip(b"\0"))
        has_tracks = ixml.parsed.find("./TRACK_LIST") is not None
        tracks = list(ixml.track_list) if has_tracks else []
        return {
            "project": ixml.project or "",
            "scene": ixml.scene or "",
            "tape": ixml.tape or "",
            "take": ixml.take or "",
            "track_names": [str(track.name) for track in tracks[:MAX_TRACK_NAMES]],
        }
    except Exception:  # as above
        return None


def _text(latin: str) -> str:
    """The standard asks for ASCII; UTF-8 and Latin-1 are met as well."""
    try:
        return latin.encode("latin-1").decode("utf-8")
    except UnicodeDecodeError:
        return latin
