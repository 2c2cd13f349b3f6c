"""The columns of the list of payments: what each means, and how it is read from a row."""

from collections.abc import Callable
from decimal import Decimal

from sessions.terms.currencies import rounded

Meant = dict[str, tuple[str, Callable[[object], object]]]


def figure(amount: Decimal, currency: str) -> Decimal:
    """As a spreadsheet adds it up."""
    return rounded(amount, currency)


PAYMENTS: Meant = {
    "number": ("Of the payment, as its page shows it.", lambda row: row.pk),
    "kind": ("payment, refund, or correction of one of them.", lambda row: row.kind.lower()),
    "received on": ("The day on which the money came or went.", lambda row: row.received_on),
    "client": ("Whose money it is.", lambda row: row.client),
    "method": ("How it was paid.", lambda row: row.get_method_display().lower()),
    "reference": ("As the bank or the receipt has it.", lambda row: row.reference),
    "currency": ("By ISO 4217.", lambda row: row.currency),
    "amount": (
        "Below 0 where it was given back.",
        lambda row: figure(row.amount, row.currency),
    ),
    "credit left": (
        "Neither used for an invoice nor given back.",
        lambda row: figure(row.free, row.currency),
    ),
    "corrects": (
        "The number of the payment that this one strikes out.",
        lambda row: row.reverses_id,
    ),
    "note": ("What was noted.", lambda row: row.note),
    "recorded": ("When it was entered.", lambda row: row.recorded_at),
    "recorded by": ("Who entered it.", lambda row: row.recorded_by),
}
