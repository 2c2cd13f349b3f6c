"""A charge of so much per cent, as an invoice will bill it: before tax, and tax by rate."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from sessions.terms.currencies import rounded
from sessions.terms.taxes import TaxRow, tax_on


@dataclass(frozen=True)
class ChargedPart:
    """What is charged at one rate of tax: `percent` of the amount `of`, before tax."""

    of: Decimal
    percent: Decimal
    taxed: TaxRow


def charged_parts(
    taxes: Iterable[TaxRow], *, percent: Decimal, of: Decimal, whole: Decimal, currency: str
) -> list[ChargedPart]:
    """So much per cent of an amount (a deposit) that is a share of the whole (the fee), both with tax;
    `taxes` are those of the whole. Rounded before tax, so that an invoice comes to the same."""
    parts = []
    for row in taxes:
        share = rounded(row.net * of / whole, currency) if whole else Decimal(0)
        net = rounded(share * percent / 100, currency)
        taxed = TaxRow(row.name, row.percent, net, tax_on(net, row.percent, currency))
        parts.append(ChargedPart(share, percent, taxed))
    return parts
