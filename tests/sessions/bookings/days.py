"""Periods by the hours of one day, so that a test reads like a diary."""

from datetime import timedelta

from tests.factories import TEN_O_CLOCK

HOUR = timedelta(hours=1)
MIDNIGHT = TEN_O_CLOCK.replace(hour=0)


def hours(start: float, end: float):
    """`hours(10, 14)` is 10:00 to 14:00 UTC on the first of June 2026."""
    return MIDNIGHT + start * HOUR, MIDNIGHT + end * HOUR
