"""Takes as comma-separated values: a row for each part of each take."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from django.db.models import QuerySet
from django.utils import timezone

from gear.comma_separated import as_text
from sessions.takes.models import Take, TakePart

AT_ONCE = 500  # takes in memory, however long the list


def csv_rows(takes: QuerySet[Take]) -> Iterator[list[str]]:
    """The cells of each part. One query, and a few for each `AT_ONCE` of the takes."""
    for take in takes.for_list().prefetch_related("files").iterator(chunk_size=AT_ONCE):
        for part in take.take_parts.all():
            yield [as_text(read(take, part)) for read in COLUMNS.values()]


def _instant(at: datetime | None) -> str:
    """ISO 8601 with the offset of the studio’s clock: 2026-06-01T11:00:05+01:00."""
    return timezone.localtime(at).isoformat(timespec="seconds") if at else ""


def _seconds(length: timedelta | None) -> str:
    return f"{length.total_seconds():.0f}" if length is not None else ""


COLUMNS: dict[str, Callable[[Take, TakePart], str]] = {
    "song": lambda take, part: take.song.title,
    "take": lambda take, part: str(take.number),
    "part": lambda take, part: part.part.name,
    "mark": lambda take, part: part.get_mark_display().lower(),
    "grade": lambda take, part: str(part.grade or ""),
    "circled": lambda take, part: "yes" if part.circled else "no",
    "punch-in into take": lambda take, part: str(take.into.number) if take.into else "",
    "punch-in": lambda take, part: take.punch_in,
    "punch-out": lambda take, part: take.punch_out,
    "pre-roll": lambda take, part: take.pre_roll,
    "starts": lambda take, part: _instant(take.started_at),
    "ends": lambda take, part: _instant(take.ended_at),
    "length in seconds": lambda take, part: _seconds(take.length),
    "session": lambda take, part: take.session.title,
    "recorded through": lambda take, part: "; ".join(
        f"{each.revision}{f' from {_instant(each.since)}' if each.since else ''}"
        for each in part.through()
    ),
    "withdrawn": lambda take, part: "yes" if take.withdrawn else "no",
    "note on take": lambda take, part: take.note,
    "note on part": lambda take, part: part.note,
    "files": lambda take, part: "; ".join(
        file.where for file in take.files.all() if file.part_id in (None, part.part_id)
    ),
}
