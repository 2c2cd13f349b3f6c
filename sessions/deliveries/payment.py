"""Whether a delivery waits for payment, as the terms of its project’s sessions say, and for what."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.formats import date_format

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Project
from sessions.money.invoices.billing import papers_to_bill
from sessions.money.invoices.models import Invoice, InvoiceLine
from sessions.money.models import MoneyPaper
from sessions.money.unbilled import without_paper
from sessions.terms.currencies import figures


@dataclass(frozen=True)
class StillOpen:
    """Invoices of a project that are not paid in full, each with its balance; papers that are not billed
    yet; sessions whose charge is not known yet. It is false where nothing is open."""

    invoices: tuple[Invoice, ...]
    papers: tuple[MoneyPaper, ...]
    sessions: tuple[RecordingSession, ...]

    def __bool__(self) -> bool:
        return any((self.invoices, self.papers, self.sessions))

    @property
    def in_words(self) -> Iterator[str]:
        for invoice in self.invoices:
            balance = f"{figures(invoice.balance, invoice.currency)} {invoice.currency}"
            yield f"{invoice}: {balance} open, due {date_format(invoice.due_on)}."
        for paper in self.papers:
            yield f"{paper}: {paper.total_in_words}, not billed yet."
        for session in self.sessions:
            yield f"{session}, {session.period_in_words}: not billed yet."


def files_after_payment(project: Project) -> bool:
    """Whether the terms of one of its sessions give files only after full payment. One query."""
    return project.recording_sessions.filter(cancellation_terms__files_after_payment=True).exists()


def still_open(project: Project) -> StillOpen:
    """What the client has not paid of the project's sessions. Three queries."""
    sessions = RecordingSession.objects.filter(project=project)
    lines = InvoiceLine.objects.filter(money_paper__session__project=project)
    invoices = Invoice.objects.still_open().filter(pk__in=lines.values("invoice"))
    return StillOpen(
        tuple(invoices.order_by("due_on", "pk")),
        tuple(papers_to_bill().filter(session__project=project)),
        tuple(without_paper(sessions)),
    )


def waits_for(project: Project) -> StillOpen | None:
    """What is open before files of the project may go; None where nothing keeps them."""
    if not files_after_payment(project):
        return None
    return still_open(project) or None
