"""Income by client, room and month: what invoices charge, less what credit notes took back, without tax.

It counts in the month by whose day the invoice is dated. A deposit counts when it is asked for, and
the invoice that takes it off counts what is left, so that nothing counts twice. A room earns what its
session does: a line leads back by the quote, work order or charge that it bills to the session, and
what takes off or credits another line, to where that one leads. Where a session has several rooms,
each earns an equal share. Currencies are never added up.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models.functions import Coalesce

from sessions.bookings.models import Reservation
from sessions.money.invoices.models import InvoiceKind, InvoiceLine
from sessions.terms.currencies import figures, minor_unit

NO_ROOM = "Without a room"
NONE = Decimal(0)


@dataclass(frozen=True)
class Earned:
    """What one client or room brought in a year, month by month, or all of them together."""

    name: str
    months: tuple[Decimal, ...]
    currency: str

    @property
    def total(self) -> Decimal:
        return sum(self.months, NONE)

    @property
    def in_figures(self) -> list[str]:
        """The months and the year, as they are shown; empty for nothing."""
        amounts = [*self.months, self.total]
        return [figures(amount, self.currency) if amount else "" for amount in amounts]


@dataclass(frozen=True)
class Income:
    """Of one currency: both ways of dividing it up come to the same."""

    currency: str
    clients: tuple[Earned, ...]
    rooms: tuple[Earned, ...]

    @property
    def whole(self) -> Earned:
        rows = [each.months for each in self.clients]
        months = tuple(sum(month, NONE) for month in zip(*rows, strict=True))
        return Earned("All", months, self.currency)


def income_of_year(year: int) -> list[Income]:
    """By currency. Two queries."""
    lines = list(_lines(year))
    rooms = _rooms({session for *_, session in lines if session})
    by_client, by_room = (defaultdict(lambda: defaultdict(_year)) for _ in range(2))
    for currency, client, month, amount, session in lines:
        by_client[currency][client][month - 1] += amount
        names = rooms.get(session) or [NO_ROOM]
        for name, share in zip(names, shares(amount, len(names), currency), strict=True):
            by_room[currency][name][month - 1] += share
    return [
        Income(currency, clients, _earned(by_room, currency))
        for currency in sorted(by_client)
        if (clients := _earned(by_client, currency))
    ]


def shares(amount: Decimal, count: int, currency: str) -> list[Decimal]:
    """The amount in equal shares of the currency's smallest units: what is left of them goes to the
    first, a unit each, so that together they are the amount."""
    unit = minor_unit(currency)
    units = int(amount / unit)
    each, left = divmod(abs(units), count)
    sign = -1 if units < 0 else 1
    return [sign * unit * (each + (number < left)) for number in range(count)]


def _year() -> list[Decimal]:
    return [NONE] * 12


def _earned(found, currency: str) -> tuple[Earned, ...]:
    """Who brought most comes first; what was credited whole in its month brought nothing."""
    earned = [
        Earned(name, tuple(months), currency)
        for name, months in found[currency].items()
        if any(months)
    ]
    return tuple(sorted(earned, key=lambda each: (-each.total, each.name)))


def _lines(year: int) -> Iterable[tuple[str, str, int, Decimal, int | None]]:
    """Currency, client, month, amount and session of each line."""
    of = "of_line__"  # a credit of what an invoice takes off leads back by two lines
    rows = InvoiceLine.objects.filter(
        invoice__dated__gte=date(year, 1, 1), invoice__dated__lt=date(year + 1, 1, 1)
    ).annotate(
        session=Coalesce(
            "money_paper__session",
            f"{of}money_paper__session",
            f"{of}{of}money_paper__session",
        )
    )
    fields = ("invoice__kind", "invoice__currency", "invoice__client__name", "invoice__dated")
    for kind, currency, client, dated, net, session in rows.order_by("pk").values_list(
        *fields, "net", "session"
    ):
        amount = -net if kind == InvoiceKind.CREDIT_NOTE else net
        yield currency, client, dated.month, amount, session


def _rooms(sessions: set[int]) -> dict[int, list[str]]:
    """The rooms of each, also of one that was cancelled and reserves nothing now."""
    found = defaultdict(list)
    rows = Reservation.objects.filter(session__in=sessions, room__isnull=False, missing=False)
    for session, room in rows.order_by("room__name").values_list("session", "room__name"):
        found[session].append(room)
    return found
