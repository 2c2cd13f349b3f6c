"""Letters that remind of an overdue invoice, and wait to go."""

from collections.abc import Iterable

from sessions.letters.models import Letter
from sessions.letters.outbox import replace
from sessions.money.invoices.models import Invoice

REMINDER = "reminder"


def forget_reminders(invoices: Iterable[int]) -> None:
    """Of these, by their keys: no reminder goes that still waits."""
    replace(Letter.objects.filter(kind=REMINDER).about_things(Invoice, list(invoices)))


def forget_reminders_of_settled(invoices: Iterable[int]) -> None:
    """Of those of them that ask for nothing more, since they were paid or credited."""
    found = Invoice.objects.filter(pk__in=invoices).with_balance()
    forget_reminders(found.filter(balance__lte=0).values_list("pk", flat=True))
