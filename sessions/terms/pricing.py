"""What a session's time, people and equipment cost by a rate card. Decimal throughout.

The rules stand in `price_words.rules_in_words`, which pages and papers print. Nothing here asks the database.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from sessions.periods import duration_in_words, instant_of
from sessions.terms.currencies import plain, rounded
from sessions.terms.models import Basis, RateCard
from sessions.terms.prices import Line, Price

Stretch = tuple[datetime, datetime]  # hours worked without a break, half-open

ONE_DAY = timedelta(days=1)
NO_HOURS = "No hours entered."
SET_UP = "Load-in and teardown"
BY_TIME = {Basis.HOUR, Basis.DAY}


@dataclass(frozen=True)
class Hire:
    """A room, a person or a unit that a session takes, with its rates on the card by basis.

    `taxes` has the tax rates, per cent, of those bases that are not taxed at the card's. `set_up_minutes`
    are those that are reserved for it before and after the session.
    """

    what: str
    rates: Mapping[str, Decimal]
    has_overtime: bool = True
    kind: str = ""
    set_up_minutes: int = 0
    taxes: Mapping[str, Decimal] = field(default_factory=dict)


def price(
    card: RateCard,
    hires: Iterable[Hire],
    *,
    stretches: Iterable[Stretch],
    lockout_days: int = 0,
    discount_percent: Decimal = Decimal(0),
) -> Price:
    """The price of what a session takes for the hours worked in it.

    `lockout_days` is 0 for a session that is no lockout.
    """
    by_day = worked_by_day(stretches)
    billed = [billed_minutes(card, minutes) for minutes in by_day.values()]
    return Price(
        currency=card.currency,
        lines=tuple(line for hire in hires for line in _lines(card, hire, billed, lockout_days)),
        discount_percent=Decimal(discount_percent),
        tax_name=card.tax_name,
        tax_percent=card.tax_percent,
        deposit_percent=card.deposit_percent,
    )


def worked_by_day(stretches: Iterable[Stretch]) -> dict[date, int]:
    """Elapsed minutes by the day on which the work began; a minute that was begun counts.

    Elapsed time is what a stopwatch shows, so that a clock change in the night neither gives nor
    takes an hour. A stretch of more than a day is cut at the time of day at which it began.
    """
    minutes: dict[date, int] = {}
    for stretch in stretches:
        starts_at, ends_at = (at.astimezone(UTC) for at in stretch)
        while starts_at < ends_at:
            until = min(same_time_next_day(starts_at), ends_at)
            day = timezone.localdate(starts_at)
            minutes[day] = minutes.get(day, 0) + _begun(until - starts_at, timedelta(minutes=1))
            starts_at = until
    return dict(sorted(minutes.items()))


def same_time_next_day(moment: datetime) -> datetime:
    """On the studio's clock, so 23 or 25 hours later over a clock change."""
    return instant_of(timezone.localtime(moment).replace(tzinfo=None, fold=0) + ONE_DAY)


def billed_minutes(card: RateCard, minutes: int) -> int:
    """A day's time as it is billed: at least the minimum, and in whole steps."""
    if not minutes:
        return 0
    asked = max(minutes, card.minimum_minutes)
    return -(-asked // card.step_minutes) * card.step_minutes


def lockout_days(starts_at: datetime, ends_at: datetime) -> int:
    """Days of a lockout from its hour to the same hour of the next day; a begun day counts."""
    on_the_clock = [timezone.localtime(at).replace(tzinfo=None) for at in (starts_at, ends_at)]
    return max(1, _begun(on_the_clock[1] - on_the_clock[0], ONE_DAY))


def counted_from_booked_start(
    stretches: list[Stretch], *, booked_start: datetime, grace_minutes: int
) -> list[Stretch]:
    """The time that counts when work began late: from the booked start, unless within the grace.

    Late by exactly the grace counts as in time.
    """
    begins = min((starts_at for starts_at, _ in stretches), default=booked_start)
    if begins - booked_start <= timedelta(minutes=grace_minutes):
        return stretches
    return [(booked_start, begins), *stretches]


def _lines(card: RateCard, hire: Hire, billed: list[int], lockout: int) -> list[Line]:
    rates = hire.rates
    lines = []
    if lockout and Basis.LOCKOUT in rates:
        lines = [_counted(card, hire, Basis.LOCKOUT, lockout)]
    elif BY_TIME & rates.keys():
        lines = _timed(card, hire, billed)
    if Basis.SESSION in rates:
        lines.append(_counted(card, hire, Basis.SESSION, 1))
    return lines or [_unpriced(card, hire)]


def _unpriced(card: RateCard, hire: Hire) -> Line:
    why = f"“{card}” has no rate for it."
    if Basis.LOCKOUT in hire.rates:
        why = f"“{card}” has a rate by the lockout day only, and this session is not a lockout."
    return Line(hire.what, "No rate", remark=why, kind=hire.kind)


def _timed(card: RateCard, hire: Hire, billed: list[int]) -> list[Line]:
    if not billed:
        return [Line(hire.what, "By time", remark=NO_HOURS, kind=hire.kind)]
    hour, day = hire.rates.get(Basis.HOUR), hire.rates.get(Basis.DAY)
    shares = [_days_and_minutes(card, minutes, hour, day) for minutes in billed]
    days, minutes = (sum(part) for part in zip(*shares, strict=True))
    lines = []
    if days:
        lines.append(_counted(card, hire, Basis.DAY, days))
    if minutes:
        lines.append(_by_minutes(card, hire, Basis.HOUR.label, minutes))
    if hire.has_overtime and card.overtime_after_minutes is not None:
        lines += _overtime(card, hire, billed)
    return lines + _set_up(card, hire)


def _days_and_minutes(
    card: RateCard, minutes: int, hour: Decimal | None, day: Decimal | None
) -> tuple[int, int]:
    """How much of a day's billed time is charged by the day, and what by the hour."""
    if day is None:
        return 0, minutes
    if hour is None:
        return -(-minutes // card.day_minutes), 0
    days, left = divmod(minutes, card.day_minutes)
    return (days + 1, 0) if left and hour * left >= day * 60 else (days, left)


def _overtime(card: RateCard, hire: Hire, billed: list[int]) -> list[Line]:
    over = sum(max(0, minutes - card.overtime_after_minutes) for minutes in billed)
    if not over:
        return []
    basis = f"Overtime, {plain(card.overtime_percent)} % on top"
    return [_by_minutes(card, hire, basis, over, card.overtime_percent)]


def _set_up(card: RateCard, hire: Hire) -> list[Line]:
    """What is reserved before and after, in whole steps: apart from the day's time, so that it makes
    neither a day rate nor overtime."""
    minutes = _begun(hire.set_up_minutes, card.step_minutes) * card.step_minutes
    if not minutes or not card.set_up_percent:
        return []
    basis = SET_UP
    if card.set_up_percent != 100:
        basis += f", {plain(card.set_up_percent)} %"
    return [_by_minutes(card, hire, basis, minutes, card.set_up_percent)]


def _by_minutes(card: RateCard, hire: Hire, basis: str, minutes: int, percent=Decimal(100)) -> Line:
    """By the hourly rate; without one, an hour is the day rate divided by the day's hours."""
    by = Basis.HOUR if Basis.HOUR in hire.rates else Basis.DAY
    hour = hire.rates[by] if by == Basis.HOUR else hire.rates[by] * 60 / card.day_minutes
    rate = rounded(hour, card.currency)
    amount = rounded(rate * minutes * percent / 6000, card.currency)
    quantity = duration_in_words(timedelta(minutes=minutes))
    return _line(card, hire, by, basis, quantity, rate, amount)


def _counted(card: RateCard, hire: Hire, basis: Basis, count: int) -> Line:
    rate = rounded(hire.rates[basis], card.currency)
    words = f"{count} day{'' if count == 1 else 's'}"
    if basis == Basis.SESSION:
        words = "once"
    return _line(card, hire, basis, basis.label, words, rate, rate * count)


def _line(
    card: RateCard, hire: Hire, by: str, words: str, quantity: str, rate: Decimal, amount: Decimal
) -> Line:
    """A line by the rate of that basis, and taxed as that is."""
    tax_percent = hire.taxes.get(by, card.tax_percent)
    return Line(hire.what, words, quantity, rate, amount, kind=hire.kind, tax_percent=tax_percent)


def _begun(length, unit) -> int:
    return -(-length // unit)
