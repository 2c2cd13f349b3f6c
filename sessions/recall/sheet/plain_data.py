"""Plain values, as JSON has them."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from sessions.bookings.models import RecordingSession


def moment(at: datetime | None) -> str | None:
    return at.isoformat() if at else None


def facts_of(thing, names: Sequence[str]) -> dict:
    return {name: number(getattr(thing, name)) for name in names}


def number(value):
    return float(value) if isinstance(value, Decimal) else value


def tidy(figure: float | None) -> float | None:
    """A reckoned figure, to a hundredth."""
    return None if figure is None else round(figure, 2)


def session_data(session: RecordingSession) -> dict:
    return {"title": session.title, "starts_at": session.starts_at.isoformat()}
