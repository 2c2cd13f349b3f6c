"""A zone's rules as a calendar program reads them (RFC 5545, section 3.6.5).

Written out by us, since icalendar's own gives the step into summer time an hour late: an onset is
told on the clock as it stood *before* the step (section 3.6.5, DTSTART with TZOFFSETFROM).
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

DAY, SECOND = timedelta(days=1), timedelta(seconds=1)


def zone_rules(zone: ZoneInfo, first: datetime, last: datetime) -> Timezone:
    """A VTIMEZONE that holds from `first` to `last`: the offset then, and each step of the clocks."""
    rules = Timezone()
    rules.add("tzid", zone.key)
    start = first.astimezone(UTC).replace(microsecond=0)
    rules.add_component(_observance(zone, start, zone.utcoffset(start.astimezone(zone))))
    for onset in clock_changes(zone, start, last):
        before = (onset - SECOND).astimezone(zone).utcoffset()
        rules.add_component(_observance(zone, onset, before))
    return rules


def clock_changes(zone: ZoneInfo, first: datetime, last: datetime) -> list[datetime]:
    """The instants (UTC) after `first` and up to `last` from which another offset holds.

    Zones that step forward and back within one day would go unseen; there are none.
    """
    found, seen = [], first.astimezone(UTC)
    while seen < last:
        ahead = min(seen + DAY, last.astimezone(UTC))
        if _offset(zone, seen) != _offset(zone, ahead):
            found.append(_onset(zone, seen, ahead))
        seen = ahead
    return found


def _onset(zone: ZoneInfo, before: datetime, after: datetime) -> datetime:
    """The first whole second between the two at which the later offset holds."""
    offset = _offset(zone, after)
    while after - before > SECOND:
        middle = (before + (after - before) / 2).replace(microsecond=0)
        before, after = (before, middle) if _offset(zone, middle) == offset else (middle, after)
    return after


def _offset(zone: ZoneInfo, instant: datetime) -> timedelta:
    return instant.astimezone(zone).utcoffset()


def _observance(zone: ZoneInfo, onset: datetime, before: timedelta):
    local = onset.astimezone(zone)
    observance = TimezoneDaylight() if local.dst() else TimezoneStandard()
    observance.add("dtstart", (onset + before).replace(tzinfo=None))
    observance.add("tzoffsetfrom", before)
    observance.add("tzoffsetto", local.utcoffset())
    observance.add("tzname", local.tzname())
    return observance
