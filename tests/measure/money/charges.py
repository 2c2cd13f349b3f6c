"""What a session costs, reckoned in fractions from the rules that quotes and work orders print under “How
the price is worked out”, and without a line of the studio's own code."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from tests.measure.money.books import ZERO, rounded


@dataclass(frozen=True)
class Card:
    """The rules of one rate card; minutes and per cent."""

    currency: str
    minimum: int
    step: int
    day: int
    overtime_after: int | None
    overtime: Fraction
    deposit: Fraction
    tax: Fraction
    set_up: Fraction = ZERO


@dataclass(frozen=True)
class Thing:
    """A room, a person or a unit: its prices by the hour, the day, the lockout day and once, and the tax
    of those that are not taxed at the card's rate."""

    prices: dict[str, Fraction]
    taxes: dict[str, Fraction] = field(default_factory=dict)
    is_gear: bool = False


@dataclass(frozen=True)
class Terms:
    """Minutes of grace, and (least hours of notice, per cent, of the fee or the deposit), the longest
    notice first: notice of exactly so much counts."""

    grace: int
    steps: tuple[tuple[int, Fraction, str], ...]

    def charge(self, notice: Fraction) -> tuple[Fraction, str]:
        return next((percent, of) for least, percent, of in self.steps if notice >= least)


@dataclass(frozen=True)
class Charged:
    """By rate of tax what is charged before it, and the tax; zero where nothing is."""

    currency: str
    rates: dict[Fraction, tuple[Fraction, Fraction]]
    deposit_percent: Fraction

    @property
    def net(self) -> Fraction:
        return sum((net for net, _ in self.rates.values()), ZERO)

    @property
    def tax(self) -> Fraction:
        return sum((tax for _, tax in self.rates.values()), ZERO)

    @property
    def total(self) -> Fraction:
        return self.net + self.tax

    def part(self, share: Fraction, percent: Fraction) -> "Charged":
        """So much per cent of a share of the whole, at each of its rates before tax."""
        rates = {}
        for rate, (net, _) in self.rates.items():
            of = rounded(net * share / self.total, self.currency) if self.total else ZERO
            part = rounded(of * percent / 100, self.currency)
            rates[rate] = (part, rounded(part * rate / 100, self.currency))
        return Charged(self.currency, rates, ZERO)

    @property
    def deposit(self) -> Fraction:
        return rounded(self.total * self.deposit_percent / 100, self.currency)


def charged(
    card: Card,
    things: Iterable[Thing],
    days: list[int],
    *,
    set_up: int = 0,
    lockout_days: int = 0,
    discount: Fraction = ZERO,
) -> Charged:
    """`days` are the minutes worked on each day, `set_up` those around the session; lockout days are 0 for
    what is no lockout. The discount is taken off what is taxed alike, and rounded there (EN 16931-1,
    BR-S-08)."""
    gross: dict[Fraction, Fraction] = {}
    for thing in things:
        billed = [_billed(card, each) for each in days if each]
        for basis, amount in _lines(card, thing, billed, set_up, lockout_days):
            rate = thing.taxes.get(basis, card.tax)
            gross[rate] = gross.get(rate, ZERO) + rounded(amount, card.currency)
    rates = {}
    for rate, amount in (gross or {card.tax: ZERO}).items():
        net = amount - rounded(amount * discount / 100, card.currency)
        rates[rate] = (net, rounded(net * rate / 100, card.currency))
    return Charged(card.currency, rates, card.deposit)


def _billed(card: Card, minutes: int) -> int:
    """At least the minimum, and a step that was begun counts in full."""
    steps = Fraction(max(minutes, card.minimum), card.step).__ceil__()
    return steps * card.step if minutes else 0


def _lines(card: Card, thing: Thing, days: list[int], set_up: int, lockout_days: int):
    prices = thing.prices
    if lockout_days and "lockout" in prices:
        yield "lockout", prices["lockout"] * lockout_days
    elif "hour" in prices or "day" in prices:
        whole, minutes = 0, 0
        for each in days:
            by_day, by_minute = _shared_out(card, prices, each)
            whole, minutes = whole + by_day, minutes + by_minute
        if whole:
            yield "day", prices["day"] * whole
        if minutes:
            yield "hour", prices["hour"] * minutes / 60
        if not thing.is_gear:
            basis, hour = _hour(card, prices)
            if card.overtime_after is not None:
                over = sum(max(0, each - card.overtime_after) for each in days)
                yield basis, hour * over / 60 * card.overtime / 100
            around = Fraction(set_up, card.step).__ceil__() * card.step
            yield basis, hour * around / 60 * card.set_up / 100
    if "session" in prices:
        yield "session", prices["session"]


def _shared_out(card: Card, prices: dict[str, Fraction], minutes: int) -> tuple[int, int]:
    """Days and minutes of one day's time: as soon as its hours cost as much, they are a day."""
    if "day" not in prices:
        return 0, minutes
    whole, left = divmod(minutes, card.day)
    if "hour" not in prices:
        return whole + (left > 0), 0
    if left and prices["hour"] * left / 60 >= prices["day"]:
        return whole + 1, 0
    return whole, left


def _hour(card: Card, prices: dict[str, Fraction]) -> tuple[str, Fraction]:
    if "hour" in prices:
        return "hour", prices["hour"]
    return "day", rounded(prices["day"] * 60 / card.day, card.currency)
