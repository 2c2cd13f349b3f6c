"""Notes that recorders leave in a Broadcast Wave file."""

from wavinfo.wave_bext_reader import WavBextReader
from wavinfo.wave_ixml_reader import WavIXMLFormat

from .measurement import BroadcastFacts, RecorderFacts

MAX_TRACK_NAMES = 128


def broadcast_facts(chunk: bytes) -> BroadcastFacts | None:
    """The facts of a `bext` chunk (EBU Tech 3285); None when it can't be read.

    The text should be ASCII. UTF-8 and Latin-1 are met, and Latin-1 accepts any byte.
    """
    for encoding in ("utf-8", "latin-1"):
        try:
            bext = WavBextReader(chunk, encoding)
        except Exception:  # noqa: BLE001 - the reader fails in as many ways as chunks are damaged
            continue
        return BroadcastFacts(
            description=bext.description,
            originator=bext.originator,
            originator_reference=bext.originator_ref,
            origination_date=bext.originator_date,
            origination_time=bext.originator_time,
            time_reference=bext.time_reference,
            coding_history=bext.coding_history,
        )
    return None


def recorder_facts(chunk: bytes) -> RecorderFacts | None:
    """The facts of an `iXML` chunk; None when it can't be read."""
    try:
        ixml = WavIXMLFormat(chunk.rstrip(b"\0"))
        names = [track.name for track in ixml.track_list] if _has_tracks(ixml) else []
        return RecorderFacts(
            project=ixml.project or "",
            scene=ixml.scene or "",
            tape=ixml.tape or "",
            take=ixml.take or "",
            track_names=tuple(names[:MAX_TRACK_NAMES]),
        )
    except Exception:  # noqa: BLE001 - as above
        return None


def _has_tracks(ixml: WavIXMLFormat) -> bool:
    return ixml.parsed.find("./TRACK_LIST") is not None
