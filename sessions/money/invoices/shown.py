"""An invoice in figures, for pages and papers."""

from collections.abc import Iterable
from dataclasses import dataclass

from sessions.money.invoices.models import Invoice, InvoiceLine
from sessions.terms.currencies import figures, plain
from sessions.terms.taxes import taxes_in_figures


@dataclass(frozen=True)
class ShownLine:
    what: str
    quantity: str
    detail: list[str]
    tax: str
    net: str


@dataclass(frozen=True)
class Shown:
    """`taxes`: rate, taxable amount and tax of each rate."""

    lines: list[ShownLine]
    taxes: list[tuple[str, str, str]]
    net: str
    tax: str
    total: str
    currency: str
    has_quantities: bool


def shown(invoice: Invoice, lines: Iterable[InvoiceLine]) -> Shown:
    currency = invoice.currency
    rows = [
        ShownLine(
            what=line.what,
            quantity=line.quantity,
            detail=line.detail.splitlines(),
            tax=f"{plain(line.tax_percent)} %",
            net=figures(line.net, currency),
        )
        for line in lines
    ]
    return Shown(
        lines=rows,
        taxes=taxes_in_figures(invoice.taxes, currency),
        net=figures(invoice.net, currency),
        tax=figures(invoice.tax, currency),
        total=figures(invoice.total, currency),
        currency=currency,
        has_quantities=any(row.quantity for row in rows),
    )
