"""The list of sessions as comma-separated values, a line at a time."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone

from gear.comma_separated import as_text, lines_of
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


def csv_lines(sessions: QuerySet) -> Iterator[str]:
    """The head and a line for each session. One query, and one for each `AT_ONCE` of them."""
    return lines_of(
        HEAD,
        (
            [as_text(cell) for cell in _cells(session)]
            for session in sessions.iterator(chunk_size=AT_ONCE)
        ),
    )


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
