"""What clients owe, and what is still to be billed."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.money.invoices.models import Invoice
from sessions.money.unbilled import unbilled
from sessions.terms.currencies import figures

SHOWN = 3


@dataclass(frozen=True)
class Owed:
    """Invoices with something still to pay, the first due first; `sums` of each currency."""

    invoices: list["OwedInvoice"]

    @property
    def sums(self) -> str:
        total: dict[str, Decimal] = defaultdict(Decimal)
        for each in self.invoices:
            total[each.invoice.currency] += each.invoice.balance
        return " and ".join(in_figures(total[code], code) for code in sorted(total))

    @property
    def shown(self) -> list["OwedInvoice"]:
        return self.invoices[:SHOWN]

    @property
    def more(self) -> int:
        return len(self.invoices) - len(self.shown)


@dataclass(frozen=True)
class OwedInvoice:
    invoice: Invoice
    days_late: int

    @property
    def balance(self) -> str:
        return in_figures(self.invoice.balance, self.invoice.currency)


@dataclass(frozen=True)
class MoneyOpen:
    overdue: Owed
    not_due: Owed
    unbilled: list[RecordingSession]  # the oldest first
    unbilled_count: int

    @property
    def is_any(self) -> bool:
        return bool(self.overdue.invoices or self.not_due.invoices or self.unbilled_count)


def money_open(sessions: QuerySet, now: datetime) -> MoneyOpen:
    """Of all clients. Three queries, and those of `for_list`."""
    today = timezone.localdate(now)
    found = Invoice.objects.still_open().select_related("client").order_by("due_on", "pk")
    owed = list(_owed(found.defer("as_issued", "tax_rows", "note"), today))
    waiting = unbilled(sessions)
    return MoneyOpen(
        Owed([each for each in owed if each.days_late > 0]),
        Owed([each for each in owed if each.days_late <= 0]),
        list(waiting.order_by("starts_at", "pk")[:SHOWN]),
        waiting.count(),
    )


def _owed(invoices: Iterable[Invoice], today: date) -> Iterable[OwedInvoice]:
    """Overdue begins the day after it was due."""
    for each in invoices:
        yield OwedInvoice(each, (today - each.due_on).days if each.due_on else 0)


def in_figures(amount: Decimal, currency: str) -> str:
    return f"{figures(amount, currency)} {currency}"
