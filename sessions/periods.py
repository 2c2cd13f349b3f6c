"""Periods in words, in the studio's zone. A period is half-open: its end is free again."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta

from django.utils import timezone
from django.utils.formats import date_format, time_format


def instant_of(local: datetime) -> datetime:
    """The instant of a naive time on the studio's clock, in UTC, where lengths and orders are right.

    Two datetimes of one zone are compared and subtracted by Python as clocks show them, an hour
    off over a change of the clocks. Of a time that comes twice the first is taken, and what falls
    into a gap is as long after it (PEP 495, fold 0).
    """
    return timezone.make_aware(local).astimezone(UTC)


def midnight(day: date) -> datetime:
    """The instant at which the day begins on the studio's clock, in UTC."""
    return instant_of(datetime.combine(day, time()))


def typed(moment: datetime) -> str:
    """As a form's field for a day and a time has it: 2026-06-01T11:00."""
    return f"{timezone.localtime(moment):%Y-%m-%dT%H:%M}"


def period_in_words(starts_at: datetime, ends_at: datetime) -> str:
    """ "Mon 1 Jun 2026, 11:00 to 15:00"; both days where they differ.

    Where the clocks change in between, and in the hour that comes twice, each time carries the name
    of the offset it is told in.
    """
    return _from_to(starts_at, ends_at, "DATETIME_FORMAT")


def period_briefly(starts_at: datetime, ends_at: datetime) -> str:
    """ "Mon 1 Jun, 11:00 to 15:00", where the year goes without saying; otherwise as above."""
    return _from_to(starts_at, ends_at, "D j M, H:i")


def _from_to(starts_at: datetime, ends_at: datetime, form: str) -> str:
    starts, ends = timezone.localtime(starts_at), timezone.localtime(ends_at)
    changes = starts.utcoffset() != ends.utcoffset()
    named = changes or comes_twice(starts_at) or comes_twice(ends_at)
    until = "TIME_FORMAT" if starts.date() == ends.date() else form
    return f"{_in_words(starts, form, named)} to {_in_words(ends, until, named)}"


def whole_days(starts_at: datetime, ends_at: datetime) -> tuple[date, date] | None:
    """The first day and the one after the last, if the period is made of whole days here."""
    ends = timezone.localtime(starts_at), timezone.localtime(ends_at)
    return tuple(each.date() for each in ends) if all(e.time() == time() for e in ends) else None


def days_in_words(starts_at: datetime, ends_at: datetime) -> str:
    """ "Mon 1 Jun 2026" or "Mon 1 Jun 2026 to Wed 3 Jun 2026", the last day counted in, where the
    period is made of whole days; as `period_in_words` otherwise."""
    days = whole_days(starts_at, ends_at)
    if not days:
        return period_in_words(starts_at, ends_at)
    first, last = days[0], days[1] - timedelta(days=1)
    until = f" to {date_format(last)}" if last > first else ""
    return f"{date_format(first)}{until}"


def moment_in_words(moment: datetime) -> str:
    """ "Mon 1 Jun 2026, 11:00"; in the hour that comes twice with the name of its offset."""
    return _in_words(timezone.localtime(moment), "DATETIME_FORMAT", comes_twice(moment))


def _in_words(local: datetime, form: str, named: bool) -> str:
    """Django's own format for the offset's name leaves it out just where a time comes twice."""
    words = date_format(local, form)
    return f"{words} {local.tzname()}" if named else words


def comes_twice(at: datetime) -> bool:
    """Whether the clock shows the instant's time twice, so that a form cannot ask for it."""
    local = timezone.localtime(at)
    zone = local.tzinfo
    return zone.utcoffset(local.replace(fold=0)) > zone.utcoffset(local.replace(fold=1))


def duration_in_words(duration: timedelta) -> str:
    """ "4 h", "1 h 30 min", "45 min": elapsed time, days counted as hours."""
    hours, minutes = divmod(round(duration.total_seconds() / 60), 60)
    words = [f"{hours} h"] if hours else []
    if minutes or not hours:
        words.append(f"{minutes} min")
    return " ".join(words)


def time_left(until: datetime, now: datetime) -> str:
    """ "in 3 h 20 min", from two days on "in 2 days"; "40 min ago" where it has come."""
    left = until - now
    days = abs(left) // timedelta(days=1)
    length = f"{days} days" if days > 1 else duration_in_words(abs(left))
    return f"in {length}" if left > timedelta(0) else f"{length} ago"


def why_no_instant(local: datetime) -> str:
    """What to tell somebody whose local time falls into a clock change: none or two instants.

    By PEP 495 the offset before the change (fold 0) is the smaller one where clocks go forward.
    """
    zone = timezone.get_current_timezone()
    before, after = (zone.utcoffset(local.replace(fold=fold)) for fold in (0, 1))
    when = f"{time_format(local)} on {date_format(local)}"
    step = duration_in_words(abs(after - before))
    if before < after:
        return (
            f"There is no {when}: the clocks go forward {step} over it. "
            "Give a time before or after that."
        )
    return (
        f"{when} comes twice: the clocks go back {step}. Give a time before or after the part of "
        "the night that is repeated."
    )


Period = tuple[datetime, datetime]


def moved_as_a_whole(old: Period, new: Period) -> Callable[[Period], Period] | None:
    """How what lies inside a period moves with it; None where the period was not moved as a whole.

    Moved as a whole is what moved by the same days and hours on the studio's clock, so that ten
    o'clock stays ten o'clock over a clock change; or else what keeps its elapsed length.
    """
    was, now = ([_on_the_clock(at) for at in period] for period in (old, new))
    by = now[0] - was[0]
    if now[1] - was[1] == by:
        return lambda period: _moved_on_the_clock(period, by)
    elapsed = new[0].astimezone(UTC) - old[0].astimezone(UTC)
    if new[1].astimezone(UTC) - old[1].astimezone(UTC) == elapsed:
        return lambda period: (period[0] + elapsed, period[1] + elapsed)
    return None


def _moved_on_the_clock(period: Period, by: timedelta) -> Period:
    starts_at, ends_at = (instant_of(_on_the_clock(at) + by) for at in period)
    if ends_at <= starts_at:  # a gap swallowed it
        ends_at = starts_at + (period[1].astimezone(UTC) - period[0].astimezone(UTC))
    return starts_at, ends_at


def _on_the_clock(at: datetime) -> datetime:
    return timezone.localtime(at).replace(tzinfo=None, fold=0)
