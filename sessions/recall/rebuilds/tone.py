"""The tone check: the stated tone sent again, and where the chain first reads other than it did."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from gear.audio.values import format_value

#: A tenth is read off a digital meter, a needle by eye to half a decibel. Common practice, no source.
TOLERANCE_DB = Decimal("0.5")


@dataclass(frozen=True)
class ToneReading:
    """At one stage's output: logged and read now, in dBu; None where nobody read it."""

    logged: Decimal | None
    read: Decimal | None

    @property
    def deviation_db(self) -> Decimal | None:
        return None if None in (self.logged, self.read) else self.read - self.logged

    @property
    def deviation_text(self) -> str:
        deviation = self.deviation_db
        return "" if deviation is None else format_value(float(deviation), "dB")

    @property
    def departs(self) -> bool:
        return self.deviation_db is not None and abs(self.deviation_db) > TOLERANCE_DB


def first_departure(readings: Sequence[ToneReading]) -> int | None:
    """The place, from 0, of the first stage in signal order that reads out of tolerance."""
    return next((place for place, reading in enumerate(readings) if reading.departs), None)
