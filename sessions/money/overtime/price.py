"""What overtime costs on top of what was agreed before it, and until when that is."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from sessions.bookings.models import RecordingSession
from sessions.money.overtime.models import Overtime
from sessions.money.session_costs import SessionCosts
from sessions.terms.models import Basis
from sessions.terms.prices import Price
from sessions.terms.pricing import BY_TIME, Stretch
from sessions.terms.taxes import TaxRow


@dataclass(frozen=True)
class ExtraLine:
    """A room, a person or a unit, by which rates it is charged, and how much more it costs."""

    what: str
    rates: tuple[tuple[str, Decimal], ...]
    amount: Decimal


@dataclass(frozen=True)
class Extra:
    """More than what was agreed; `unpriced` is what the rate card has no rate for."""

    currency: str
    lines: tuple[ExtraLine, ...]
    discount: Decimal
    net: Decimal
    taxes: tuple[TaxRow, ...]
    total: Decimal
    unpriced: tuple[str, ...]


def agreed_until(session: RecordingSession, overtime: Iterable[Overtime]) -> datetime:
    """The end of the time that the client agreed to: as booked, and what was approved from there on.

    What was approved lengthens the booking, so its end counts no longer once that is void; of a
    session that was moved afterwards it says nothing.
    """
    overtime = sorted(overtime, key=lambda each: each.starts_at)
    voided = [
        each.starts_at
        for each in overtime
        if each.is_void and session.starts_at < each.starts_at < session.ends_at <= each.ends_at
    ]
    end = min([session.ends_at, *voided])
    for each in overtime:
        if not each.is_void and session.starts_at < each.starts_at <= end:
            end = max(end, each.ends_at)
    return end


def extra_price(costs: SessionCosts, starts_at: datetime, ends_at: datetime) -> Extra | None:
    """The price with the overtime less the price without it, by the session's rate card; None
    without one. The day on which a day rate or the surcharge begins to apply counts as a whole."""
    if costs.card is None:
        return None
    agreed = _until(costs.planned_stretches, starts_at)
    without = costs.price_of(agreed, lockout_until=starts_at)
    with_it = costs.price_of(_joined([*agreed, (starts_at, ends_at)]), lockout_until=ends_at)
    return Extra(
        currency=with_it.currency,
        lines=tuple(_lines(costs, without, with_it)),
        discount=with_it.discount - without.discount,
        net=with_it.net - without.net,
        taxes=tuple(_taxes(without, with_it)),
        total=with_it.total - without.total,
        unpriced=tuple(line.what for line in with_it.unpriced),
    )


def _lines(costs: SessionCosts, without: Price, with_it: Price) -> list[ExtraLine]:
    more = Counter(_amounts(with_it))
    more.subtract(_amounts(without))
    rates = {hire.what: hire.rates for hire in costs.hires}
    return [
        ExtraLine(
            what, tuple((Basis(basis).label, rate) for basis, rate in rates[what].items()), amount
        )
        for what, amount in more.items()
        if amount or BY_TIME & rates[what].keys()
    ]


def _taxes(without: Price, with_it: Price) -> Iterator[TaxRow]:
    """What is taxed more than before, by the rate of tax."""
    before = {row.percent: row for row in without.taxes}
    for row in with_it.taxes:
        less = before.get(row.percent)
        net, tax = (less.net, less.tax) if less else (0, 0)
        if row.net != net or len(with_it.taxes) == 1:
            yield replace(row, net=row.net - net, tax=row.tax - tax)


def _amounts(price: Price) -> dict[str, Decimal]:
    amounts = Counter()
    for line in price.lines:
        amounts[line.what] += line.amount or 0
    return amounts


def _until(stretches: Iterable[Stretch], end: datetime) -> list[Stretch]:
    return [(starts_at, min(ends_at, end)) for starts_at, ends_at in stretches if starts_at < end]


def _joined(stretches: list[Stretch]) -> list[Stretch]:
    """Stretches that touch are one: work that goes on after midnight belongs to the day before."""
    joined = []
    for starts_at, ends_at in sorted(stretches):
        if joined and joined[-1][1] == starts_at:
            joined[-1] = (joined[-1][0], ends_at)
        else:
            joined.append((starts_at, ends_at))
    return joined


def worked_without_approval(costs: SessionCosts) -> timedelta:
    """How much of the entered working time lies after what the client agreed to."""
    end = agreed_until(costs.session, costs.overtime)
    return sum(
        (
            ends_at.astimezone(UTC) - max(starts_at, end).astimezone(UTC)
            for starts_at, ends_at in costs.actual_stretches
            if ends_at > end
        ),
        timedelta(),
    )
