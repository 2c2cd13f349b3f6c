"""The list of sessions as comma-separated values (RFC 4180), a line at a time."""

import csv
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone

from sessions.bookings.models import RecordingSession

AT_ONCE = 500  # sessions in memory, however long the list
HEAD = [
    "starts",
    "ends",
    "hours",
    "session",
    "project",
    "artist",
    "client",
    "status",
    "place in line",
    "lockout",
    "rooms",
    "people",
    "equipment",
    "note",
]
# What a spreadsheet takes for the beginning of a formula.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_lines(sessions: QuerySet) -> Iterator[str]:
    """The head and a line for each session. One query, and one for each `AT_ONCE` of them."""
    writer = csv.writer(_Echo())
    yield "\ufeff"  # spreadsheets read UTF-8 only where a byte order mark says so
    yield writer.writerow(HEAD)
    for session in sessions.iterator(chunk_size=AT_ONCE):
        yield writer.writerow([as_text(cell) for cell in _cells(session)])


def as_text(cell: str) -> str:
    """The cell so that no spreadsheet runs it: what begins like a formula gets an apostrophe.

    Names and notes come from anybody who can type; a reader that is no spreadsheet sees one
    character more in those rare cells.
    """
    return f"'{cell}" if cell.startswith(FORMULA) else cell


def _cells(session: RecordingSession) -> list[str]:
    reservations = list(session.reservations.all())
    return [
        _instant(session.starts_at),
        _instant(session.ends_at),
        _hours(session),
        session.title,
        session.project.name,
        session.project.artist,
        session.project.client.name,
        session.get_status_display().lower(),
        session.standing if session.status == "held" else "",
        "yes" if session.lockout else "no",
        *(
            "; ".join(str(each.resource) for each in reservations if getattr(each, f"{kind}_id"))
            for kind in ("room", "person", "unit")
        ),
        session.note,
    ]


def _instant(at: datetime) -> str:
    """ISO 8601 with the offset of the studio's clock: 2026-06-01T11:00+01:00."""
    return timezone.localtime(at).isoformat(timespec="minutes")


def _hours(session: RecordingSession) -> str:
    """Elapsed hours to the hundredth, right across a clock change."""
    return str(round(Decimal(session.duration.total_seconds()) / 3600, 2))


class _Echo:
    """Gives back what the writer writes, so that it need not be kept."""

    def write(self, line: str) -> str:
        return line
