"""The columns of the list of sessions as comma-separated values."""

from collections.abc import Callable
from decimal import Decimal

from gear.tables import Columns
from sessions.bookings.models import RecordingSession


def _reserved(kind: str) -> Callable[[RecordingSession], str]:
    return lambda session: "; ".join(
        str(each.resource)
        for each in session.reservations.all()
        if getattr(each, f"{kind}_id") and not each.missing
    )


def _hours(session: RecordingSession) -> Decimal:
    """Elapsed hours to the hundredth, right across a clock change."""
    return round(Decimal(session.duration.total_seconds()) / 3600, 2)


COLUMNS: Columns = {
    "starts": lambda session: session.starts_at,
    "ends": lambda session: session.ends_at,
    "hours": _hours,
    "session": lambda session: session.title,
    "project": lambda session: session.project.name,
    "artist": lambda session: session.project.artist,
    "client": lambda session: session.project.client.name,
    "status": lambda session: session.get_status_display().lower(),
    "hold": lambda session: session.standing if session.status == "held" else "",
    "lockout": lambda session: session.lockout,
    "rooms": _reserved("room"),
    "people": _reserved("person"),
    "gear": _reserved("unit"),
    "note": lambda session: session.note,
}
