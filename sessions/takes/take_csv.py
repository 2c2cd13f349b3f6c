"""Takes as comma-separated values: a row for each part of each take."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from django.db.models import QuerySet

from gear.comma_separated import instant
from sessions.takes.models import Take, TakePart

AT_ONCE = 500  # takes in memory, however long the list


def csv_rows(takes: QuerySet[Take]) -> Iterator[list]:
    """The cells of each part. One query, and a few for each `AT_ONCE` of the takes."""
    for take in takes.for_list().prefetch_related("files").iterator(chunk_size=AT_ONCE):
        for part in take.take_parts.all():
            yield [read(take, part) for read in COLUMNS.values()]


def _to_the_second(at: datetime | None) -> str | None:
    return instant(at, "seconds") if at else None


def _seconds(length: timedelta | None) -> int | None:
    return None if length is None else round(length.total_seconds())


COLUMNS: dict[str, Callable[[Take, TakePart], object]] = {
    "song": lambda take, part: take.song.title,
    "take": lambda take, part: take.number,
    "part": lambda take, part: part.part.name,
    "mark": lambda take, part: part.get_mark_display().lower(),
    "grade": lambda take, part: part.grade or None,
    "circled": lambda take, part: part.circled,
    "punch-in into take": lambda take, part: take.into.number if take.into else None,
    "punch-in": lambda take, part: take.punch_in,
    "punch-out": lambda take, part: take.punch_out,
    "pre-roll": lambda take, part: take.pre_roll,
    "starts": lambda take, part: _to_the_second(take.started_at),
    "ends": lambda take, part: _to_the_second(take.ended_at),
    "length in seconds": lambda take, part: _seconds(take.length),
    "session": lambda take, part: take.session.title,
    "recorded through": lambda take, part: "; ".join(
        f"{each.revision}{f' from {_to_the_second(each.since)}' if each.since else ''}"
        for each in part.through()
    ),
    "withdrawn": lambda take, part: take.withdrawn,
    "note on take": lambda take, part: take.note,
    "note on part": lambda take, part: part.note,
    "files": lambda take, part: "; ".join(
        file.where for file in take.files.all() if file.part_id in (None, part.part_id)
    ),
}
