"""What is still to be billed, and what was paid ahead of it."""

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from sessions.bookings.models import Status
from sessions.clients.models import Client
from sessions.money.invoices.models import InvoiceLine
from sessions.money.models import MoneyPaper, PaperKind

CHARGED = (PaperKind.WORK_ORDER, PaperKind.CANCELLATION)  # what says what is to be paid


def papers_to_bill() -> QuerySet[MoneyPaper]:
    """Work orders and charges of cancellations that no invoice bills, net of credit notes.

    Only the newest of its kind for a session counts, and of a cancelled session none but the charge
    for that. `billed_before` is the key of an invoice that bills the session by another of them, which
    is to be credited first; else None.
    """
    # Newer by its key, as by its number: SQLite would look through all numbers of the kind.
    same = MoneyPaper.objects.filter(session=OuterRef("session"), kind=OuterRef("kind"))
    billing = InvoiceLine.objects.billing().standing()
    others = billing.filter(money_paper__session=OuterRef("session"))
    return (
        MoneyPaper.objects.filter(kind__in=CHARGED, total__gt=0)
        .not_taken_back()
        .exclude(kind=PaperKind.WORK_ORDER, session__status=Status.CANCELLED)
        .exclude(Exists(same.filter(pk__gt=OuterRef("pk"))))
        .exclude(Exists(billing.filter(money_paper=OuterRef("pk"))))
        .annotate(billed_before=Subquery(others.values("invoice")[:1]))
        .select_related("session__project__client")
    )


def billed_by(papers: QuerySet[MoneyPaper]) -> dict[int, InvoiceLine]:
    """By the key of a paper, a line that bills it or asks for its deposit, net of credit notes."""
    lines = InvoiceLine.objects.filter(money_paper__in=papers).standing().select_related("invoice")
    return {line.money_paper_id: line for line in lines}


def lines_to_credit() -> QuerySet[InvoiceLine]:
    """Those that bill what is no longer charged: another paper was issued in the place of theirs, or the
    session was reopened, or cancelled, since."""
    same = MoneyPaper.objects.filter(
        session=OuterRef("money_paper__session"), kind=OuterRef("money_paper__kind")
    )
    replaced = Exists(same.filter(pk__gt=OuterRef("money_paper")))
    charged = MoneyPaper.objects.not_taken_back().exclude(
        kind=PaperKind.WORK_ORDER, session__status=Status.CANCELLED
    )
    void = ~Exists(charged.filter(pk=OuterRef("money_paper")))
    return InvoiceLine.objects.billing().filter(replaced | void).standing()


def deposits_left(client: Client) -> QuerySet[InvoiceLine]:
    """What was asked of the client ahead and neither credited nor taken off an invoice."""
    lines = InvoiceLine.objects.deposits().with_something_left().filter(invoice__client=client)
    return lines.select_related("invoice", "money_paper__session")
