"""What became of the holds that were made, by the month in which they were: for the manager, who sees
whether what is held is worth holding."""

from collections import Counter
from dataclasses import dataclass

from django.db.models import Exists, Min, OuterRef

from sessions.bookings.models import Status, StatusStep
from sessions.reports.usage.hours import COUNTED, in_percent, month_starts

CONFIRMED, LAPSED, RELEASED, OPEN = "confirmed", "lapsed", "released", "open"
OUTCOMES = (CONFIRMED, LAPSED, RELEASED, OPEN)


@dataclass(frozen=True)
class Holds:
    """Those of one month, or of all of them."""

    counts: Counter

    @property
    def made(self) -> int:
        return self.counts.total()

    @property
    def confirmed(self) -> int:
        return self.counts[CONFIRMED]

    @property
    def lapsed(self) -> int:
        return self.counts[LAPSED]

    @property
    def released(self) -> int:
        return self.counts[RELEASED]

    @property
    def open(self) -> int:
        return self.counts[OPEN]

    @property
    def percent(self):
        """Of those that came to an end, how many became bookings; None while none did."""
        return in_percent(self.confirmed, self.made - self.open)


def holds_of_year(year: int) -> tuple[list[Holds], Holds]:
    """Twelve, from January, and the year. A session counts once, in the month in which it was first
    held. One query."""
    starts = month_starts(year)
    booked = StatusStep.objects.filter(session=OuterRef("session"), status__in=COUNTED)
    held = (
        StatusStep.objects.filter(status=Status.HELD)
        .order_by()
        .values("session", "session__status", "session__lapsed_at")
        .annotate(first=Min("at"), booked=Exists(booked))
        .filter(first__gte=starts[0], first__lt=starts[-1])
    )
    months = [Counter() for _ in range(12)]
    for row in held:
        number = sum(start <= row["first"] for start in starts) - 1
        months[number][_outcome(row)] += 1
    return [Holds(month) for month in months], Holds(sum(months, Counter()))


def _outcome(row: dict) -> str:
    """A booking that was cancelled later was one; of what nobody booked, how it ended."""
    if row["booked"]:
        return CONFIRMED
    if row["session__status"] == Status.HELD:
        return OPEN
    return LAPSED if row["session__lapsed_at"] else RELEASED
