"""The columns of the list of invoices as comma-separated values."""

from collections.abc import Callable
from decimal import Decimal

from gear.tables import Columns
from sessions.money.invoices.models import Invoice
from sessions.terms.currencies import rounded


def _sum(name: str) -> Callable[[Invoice], Decimal]:
    """Plain figures, so that a spreadsheet adds them up. Those of a credit note are positive, as on
    its paper: its kind says that they are taken away."""
    return lambda invoice: rounded(getattr(invoice, name), invoice.currency)


COLUMNS: Columns = {
    "kind": lambda invoice: invoice.get_kind_display().lower(),
    "number": lambda invoice: invoice.number,
    "dated": lambda invoice: invoice.dated,
    "due": lambda invoice: invoice.due_on,
    "client": lambda invoice: invoice.client,
    "currency": lambda invoice: invoice.currency,
    "net": _sum("net"),
    "tax": _sum("tax"),
    "total": _sum("total"),
    "open": _sum("balance"),
    "credits": lambda invoice: invoice.credits,
    "issued by": lambda invoice: invoice.issued_by,
    "note": lambda invoice: invoice.note,
}
