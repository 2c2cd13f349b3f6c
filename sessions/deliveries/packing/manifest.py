"""What a pack says of itself: a manifest as CSV and as JSON, and a list for `sha256sum -c`."""

import json
from collections.abc import Iterable

from gear.comma_separated import lines_of
from sessions.deliverables.checking import Check
from sessions.deliverables.models import DeliverableFile
from sessions.deliveries.packing.archive import Entry
from sessions.songs.models import Song

# Of a file, as it was measured; empty where that was not or could not be.
FACTS = (
    *("container", "codec", "lossless", "sample_rate", "bit_depth", "valid_bits", "channels"),
    *("channel_layout", "frames", "duration_seconds", "sample_peak_dbfs", "true_peak_dbtp"),
    *("integrated_lufs", "loudness_range_lu", "max_momentary_lufs", "max_short_term_lufs"),
    *("clipped_run_count", "silent_frames_at_start", "silent_frames_at_end"),
)
HEAD = ["path", "size_bytes", "sha256", "deliverable", "original_name", *FACTS, "checks"]

Packed = tuple[Entry, DeliverableFile | None]  # None is a paper


def as_csv(packed: Iterable[Packed], checks: dict[int, list[Check]]) -> bytes:
    rows = (_row(entry, file, checks) for entry, file in packed)
    return "".join(lines_of(HEAD, rows)).encode()


def _row(entry: Entry, file: DeliverableFile | None, checks) -> list:
    row = [entry.path, entry.size, entry.sha256]
    if file is None:
        return [*row, *([None] * (len(HEAD) - len(row)))]
    facts = [getattr(file, name) for name in FACTS]
    said = "; ".join(f"{each.verdict}: {each.text}" for each in _of(file, checks))
    return [*row, str(file.deliverable), file.original_name, *facts, said]


def as_json(song: Song, packed: Iterable[Packed], checks: dict[int, list[Check]]) -> bytes:
    facts = {
        "song": song.title,
        "project": song.project.name,
        "artist": song.project.artist,
        "files": [_described(entry, file, checks) for entry, file in packed],
    }
    return json.dumps(facts, ensure_ascii=False, indent=1).encode() + b"\n"


def _described(entry: Entry, file: DeliverableFile | None, checks) -> dict:
    described = {"path": entry.path, "size_bytes": entry.size, "sha256": entry.sha256}
    if file is None:
        return described
    return described | {
        "deliverable": str(file.deliverable),
        "note": file.deliverable.note,
        "original_name": file.original_name,
        **{name: getattr(file, name) for name in FACTS},
        "checks": [
            {"verdict": each.verdict, "text": each.text, "reason": each.reason}
            | {"source": each.source}
            for each in _of(file, checks)
        ],
    }


def _of(file: DeliverableFile, checks: dict[int, list[Check]]) -> list[Check]:
    """Those of the file itself, and of all files of its deliverable."""
    return [each for each in checks[file.deliverable_id] if each.file in (None, file)]


def as_sums(entries: Iterable[Entry]) -> bytes:
    return "".join(f"{entry.sha256}  {entry.path}\n" for entry in entries).encode()
