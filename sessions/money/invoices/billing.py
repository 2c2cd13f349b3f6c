"""What is still to be billed, and what was paid ahead of it."""

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from sessions.clients.models import Client
from sessions.money.invoices.models import InvoiceLine
from sessions.money.models import MoneyPaper, PaperKind

CHARGED = (PaperKind.WORK_ORDER, PaperKind.CANCELLATION)  # what says what is to be paid


def papers_to_bill() -> QuerySet[MoneyPaper]:
    """Work orders and charges of cancellations that no invoice bills, net of credit notes.

    Only the newest of its kind for a session counts. `billed_before` is the key of the invoice that
    bills an older one, which is to be credited first; else None.
    """
    same = MoneyPaper.objects.filter(session=OuterRef("session"), kind=OuterRef("kind"))
    billing = InvoiceLine.objects.billing().standing()
    older = billing.filter(
        money_paper__session=OuterRef("session"), money_paper__kind=OuterRef("kind")
    )
    return (
        MoneyPaper.objects.filter(kind__in=CHARGED, total__gt=0)
        .not_taken_back()
        .exclude(Exists(same.filter(number__gt=OuterRef("number"))))
        .exclude(Exists(billing.filter(money_paper=OuterRef("pk"))))
        .annotate(billed_before=Subquery(older.values("invoice")[:1]))
        .select_related("session__project__client")
    )


def billed_by(papers: QuerySet[MoneyPaper]) -> dict[int, InvoiceLine]:
    """By the key of a paper, a line that bills it or asks for its deposit, net of credit notes."""
    lines = InvoiceLine.objects.filter(money_paper__in=papers).standing().select_related("invoice")
    return {line.money_paper_id: line for line in lines}


def deposits_left(client: Client) -> QuerySet[InvoiceLine]:
    """What was asked of the client ahead and neither credited nor taken off an invoice."""
    lines = InvoiceLine.objects.deposits().with_something_left().filter(invoice__client=client)
    return lines.select_related("invoice", "money_paper__session")
