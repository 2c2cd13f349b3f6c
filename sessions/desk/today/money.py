"""What is still to be billed and paid, in a line each."""

from dataclasses import dataclass

from django.db.models import QuerySet

from sessions.bookings.models import RecordingSession
from sessions.money.unbilled import unbilled

SHOWN = 3


@dataclass(frozen=True)
class MoneyOpen:
    unbilled: list[RecordingSession]  # the oldest first
    unbilled_count: int


def money_open(sessions: QuerySet) -> MoneyOpen:
    """Two queries, and those of `for_list`."""
    waiting = unbilled(sessions)
    return MoneyOpen(list(waiting.order_by("starts_at", "pk")[:SHOWN]), waiting.count())
