"""Days on the studio's clock: a day has 23 or 25 hours where the clocks change."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from functools import lru_cache

from django.utils import timezone
from django.utils.formats import date_format, time_format

from sessions.periods import Period, duration_in_words, midnight

ONE_DAY = timedelta(days=1)
A_DAY = 24 * 60  # minutes of the clock, also where an hour of the day is missing or comes twice
STEP = timedelta(minutes=15)  # offsets of the world's zones are whole quarters of an hour


@dataclass(frozen=True)
class ClockChange:
    """The instant at which the clocks change, what is missing or comes twice, and the whole of it."""

    at: datetime
    briefly: str
    words: str


def period_of(first: date, days: int = 1) -> Period:
    return _period_of(first, days, timezone.get_current_timezone())


@lru_cache(maxsize=512)  # a page asks for the same few days for each of its lines
def _period_of(first: date, days: int, zone: tzinfo) -> Period:
    return midnight(first), midnight(first + days * ONE_DAY)


def week_of(day: date) -> list[date]:
    """Monday to Sunday (ISO 8601)."""
    monday = day - day.weekday() * ONE_DAY
    return [monday + count * ONE_DAY for count in range(7)]


def month_of(day: date) -> list[list[date]]:
    """The weeks that hold a day of the month, each from Monday to Sunday."""
    monday = week_of(day.replace(day=1))[0]
    weeks = []
    while not weeks or monday.replace(day=1) <= day:
        weeks.append(week_of(monday))
        monday += 7 * ONE_DAY
    return weeks


def month_after(day: date, months: int) -> date:
    """The first of the month so many months later, or earlier."""
    count = day.year * 12 + day.month - 1 + months
    return date(count // 12, count % 12 + 1, 1)


def full_hours(day: date) -> list[datetime]:
    """Every instant of the day at which the studio's clock shows a full hour, as it passes."""
    return [at for at in _quarters(day) if timezone.localtime(at).minute == 0]


def minute_of(day: date, at: datetime) -> int:
    """What the clock shows on that day at the instant, in minutes; the day's ends where the instant
    is not on it."""
    begins, ends = period_of(day)
    if at <= begins:
        return 0
    if at >= ends:
        return A_DAY
    local = timezone.localtime(at)
    return local.hour * 60 + local.minute


def clock_change(day: date) -> ClockChange | None:
    """The day's change of clocks, if it has one; no zone has two that undo each other in a day."""
    if len({_offset(at) for at in period_of(day)}) == 1:
        return None
    for at in _quarters(day):
        before, after = _offset(at - timedelta(seconds=1)), _offset(at)
        if before != after:
            return ClockChange(at, *_change_in_words(at, before, after, day))
    return None


def clock(at: datetime, *, named: bool) -> str:
    """The time that the studio's clock shows, with the name of its offset if that is wanted.

    Django's own format for that name leaves it out just where a time comes twice.
    """
    local = timezone.localtime(at)
    return f"{local:%H:%M} {local.tzname()}" if named else f"{local:%H:%M}"


def hours_on(day: date, starts_at: datetime, ends_at: datetime) -> str:
    """The period as the page of one day tells it: what lies on other days is said with its day.

    Where the clocks change that day, each time carries the name of its offset.
    """
    begins, ends = period_of(day)
    named = _is_named(begins, ends, timezone.get_current_timezone())
    since, until = clock(starts_at, named=named), clock(ends_at, named=named)
    if starts_at < begins:
        since = f"continued from {_short_day(starts_at)}, {since}"
    if ends_at > ends:
        return f"{since}, continues to {_short_day(ends_at)}, {until}"
    until = "midnight" if ends_at == ends else until
    return f"{since} to {until}" if starts_at >= begins else f"{since}, to {until}"


@lru_cache(maxsize=512)  # as above
def _is_named(begins: datetime, ends: datetime, zone: tzinfo) -> bool:
    """Whether the clocks change in between, so that times are told with the name of their offset."""
    return begins.astimezone(zone).utcoffset() != ends.astimezone(zone).utcoffset()


def moment_briefly(at: datetime) -> str:
    """ "Mon 1 Jun, 11:00"."""
    return f"{_short_day(at)}, {clock(at, named=False)}"


def _short_day(at: datetime) -> str:
    return _day_in_words(timezone.localtime(at).date())


@lru_cache(maxsize=512)
def _day_in_words(day: date) -> str:
    return date_format(day, "D j M")


def _quarters(day: date) -> Iterator[datetime]:
    at, end = period_of(day)
    while at < end:
        yield at
        at += STEP


def _offset(at: datetime) -> timedelta:
    return timezone.localtime(at).utcoffset()


def _change_in_words(
    at: datetime, before: timedelta, after: timedelta, day: date
) -> tuple[str, str]:
    old, new = (time_format((at + offset).replace(tzinfo=None)) for offset in (before, after))
    step = duration_in_words(abs(after - before))
    starts_at, ends_at = period_of(day)
    length = f"This day is {duration_in_words(ends_at - starts_at)} long."
    if before < after:
        missing = f"there is no {old} to {new}"
        return missing, f"The clocks go forward {step}: {missing}. {length}"
    twice = f"{new} to {old} comes twice"
    return twice, f"The clocks go back {step}: {twice}. {length}"
