"""A price: its lines and what follows from them. Decimal throughout; nothing here asks the database."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from sessions.terms.currencies import rounded
from sessions.terms.taxes import TaxRow, tax_on


@dataclass(frozen=True)
class Line:
    """One line of a price. No amount means that the card does not say: `remark` tells why. `kind` is
    the reservation's field of what it is the price of: room, person or unit."""

    what: str
    basis: str
    quantity: str = ""
    rate: Decimal | None = None
    amount: Decimal | None = None
    remark: str = ""
    kind: str = ""
    tax_percent: Decimal | None = None


@dataclass(frozen=True)
class Price:
    """Lines and what follows from them; every sum is of amounts that were rounded already.

    `tax_percent` is the card's, at which every line is taxed that has no rate of its own.
    """

    currency: str
    lines: tuple[Line, ...]
    discount_percent: Decimal
    tax_name: str
    tax_percent: Decimal
    deposit_percent: Decimal

    @cached_property
    def gross(self) -> Decimal:
        return _sum(line.amount for line in self.priced)

    @cached_property
    def discount(self) -> Decimal:
        return self.gross - self.net

    @cached_property
    def net(self) -> Decimal:
        return _sum(each.net for each in self.taxes)

    @cached_property
    def tax(self) -> Decimal:
        return _sum(each.tax for each in self.taxes)

    @cached_property
    def taxes(self) -> list[TaxRow]:
        """One for each rate of tax, the highest first: the discount is taken off what is taxed
        alike, and the tax is worked out once for all of that."""
        gross: dict[Decimal, Decimal] = {}
        for line in self.priced:
            percent = self.tax_percent if line.tax_percent is None else line.tax_percent
            gross[percent] = gross.get(percent, Decimal(0)) + line.amount
        gross = gross or {self.tax_percent: Decimal(0)}
        return [self._taxed(percent, gross[percent]) for percent in sorted(gross, reverse=True)]

    def _taxed(self, percent: Decimal, gross: Decimal) -> TaxRow:
        net = gross - self._percent_of(gross, self.discount_percent)
        return TaxRow(self.tax_name, percent, net, tax_on(net, percent, self.currency))

    @cached_property
    def total(self) -> Decimal:
        return self.net + self.tax

    @cached_property
    def deposit(self) -> Decimal:
        return self._percent_of(self.total, self.deposit_percent)

    @cached_property
    def balance(self) -> Decimal:
        """What is left to pay after the deposit."""
        return self.total - self.deposit

    @cached_property
    def priced(self) -> list[Line]:
        return [line for line in self.lines if line.amount is not None]

    @cached_property
    def unpriced(self) -> list[Line]:
        return [line for line in self.lines if line.amount is None]

    def _percent_of(self, amount: Decimal, percent: Decimal) -> Decimal:
        return rounded(amount * percent / 100, self.currency)


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))
