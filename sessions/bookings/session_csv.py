"""The list of sessions as comma-separated values, a line at a time."""

from collections.abc import Callable, Iterator
from datetime import datetime
from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone

from gear.comma_separated import as_text
from sessions.bookings.models import RecordingSession

AT_ONCE = 500  # sessions in memory, however long the list


def csv_rows(sessions: QuerySet) -> Iterator[list[str]]:
    """The cells of each session. One query, and one for each `AT_ONCE` of them."""
    for session in sessions.iterator(chunk_size=AT_ONCE):
        yield [as_text(read(session)) for read in COLUMNS.values()]


def _reserved(kind: str) -> Callable[[RecordingSession], str]:
    return lambda session: "; ".join(
        str(each.resource)
        for each in session.reservations.all()
        if getattr(each, f"{kind}_id") and not each.missing
    )


def _instant(at: datetime) -> str:
    """ISO 8601 with the offset of the studio's clock: 2026-06-01T11:00+01:00."""
    return timezone.localtime(at).isoformat(timespec="minutes")


def _hours(session: RecordingSession) -> str:
    """Elapsed hours to the hundredth, right across a clock change."""
    return str(round(Decimal(session.duration.total_seconds()) / 3600, 2))


COLUMNS: dict[str, Callable[[RecordingSession], str]] = {
    "starts": lambda session: _instant(session.starts_at),
    "ends": lambda session: _instant(session.ends_at),
    "hours": _hours,
    "session": lambda session: session.title,
    "project": lambda session: session.project.name,
    "artist": lambda session: session.project.artist,
    "client": lambda session: session.project.client.name,
    "status": lambda session: session.get_status_display().lower(),
    "hold": lambda session: session.standing if session.status == "held" else "",
    "lockout": lambda session: "yes" if session.lockout else "no",
    "rooms": _reserved("room"),
    "people": _reserved("person"),
    "gear": _reserved("unit"),
    "note": lambda session: session.note,
}
