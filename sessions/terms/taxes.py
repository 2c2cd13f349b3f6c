"""Tax by rate: what papers and invoices state for each rate that they charge at."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from sessions.terms.currencies import figures, plain, rounded


@dataclass(frozen=True)
class TaxRow:
    """What is charged at one rate before tax, and the tax on it; both in the currency's smallest unit."""

    name: str
    percent: Decimal
    net: Decimal
    tax: Decimal

    @property
    def rate(self) -> str:
        return f"{self.name}, {plain(self.percent)} %"

    def as_kept(self) -> dict[str, str]:
        """As JSON keeps it; `read_taxes` reads it again."""
        return {
            "name": self.name,
            "percent": plain(self.percent),
            "net": str(self.net),
            "tax": str(self.tax),
        }


def tax_on(net: Decimal, percent: Decimal, currency: str) -> Decimal:
    """Half of the smallest unit goes up (EN 16931-1, BR-CO-17: for each rate, the taxable amount times
    the rate, rounded to the currency's places)."""
    return rounded(net * percent / 100, currency)


def taxes_of(amounts: Iterable[tuple[str, Decimal, Decimal]], currency: str) -> list[TaxRow]:
    """From (name, per cent, net) of each line: a row for each rate, the highest first."""
    nets: dict[tuple[str, Decimal], Decimal] = {}
    for name, percent, net in amounts:
        key = (name, percent)
        nets[key] = nets.get(key, Decimal(0)) + net
    return [
        TaxRow(name, percent, net, tax_on(net, percent, currency))
        for (name, percent), net in sorted(nets.items(), key=lambda row: (-row[0][1], row[0][0]))
    ]


def read_taxes(kept: Iterable[dict[str, str]]) -> list[TaxRow]:
    return [
        TaxRow(row["name"], Decimal(row["percent"]), Decimal(row["net"]), Decimal(row["tax"]))
        for row in kept
    ]


def taxes_in_figures(taxes: Iterable[TaxRow], currency: str) -> list[tuple[str, str, str]]:
    """Rate, taxable amount and tax, as pages and papers show them."""
    return [(row.rate, figures(row.net, currency), figures(row.tax, currency)) for row in taxes]
