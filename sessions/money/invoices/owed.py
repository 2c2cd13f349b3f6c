"""What may be billed and asked for at this moment, and why something may not."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, Q

from sessions.bookings.models import RecordingSession, Status
from sessions.clients.models import Client
from sessions.money.drafting import OVERTAKEN, was_overtaken
from sessions.money.invoices.billing import billed_by, deposits_left, papers_to_bill
from sessions.money.invoices.drafting import Draft, InvoiceRefused, OtherLine, drafted_invoice
from sessions.money.invoices.models import Invoice
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.overtime.models import Overtime
from sessions.money.session_costs import SessionCosts
from sessions.terms.currencies import figures


def draft_of_invoice(
    client: Client,
    *,
    papers: Iterable[MoneyPaper] = (),
    other: Sequence[OtherLine] = (),
    deposits: Iterable[Invoice] = (),
    currency: str = "",
    tax_name: str = "VAT",
    due_on: date | None = None,
    note: str = "",
) -> Draft:
    """What would be issued now. Deposits of the sessions that are billed are taken off, and so are the
    `deposits` beside them. Raises InvoiceRefused for what can’t be billed."""
    papers = _to_bill(client, papers)
    sessions = [paper.session_id for paper in papers]
    taken_off = Q(money_paper__session__in=sessions) | Q(invoice__in=list(deposits))
    return drafted_invoice(
        client,
        papers=papers,
        other=other,
        deposits=deposits_left(client).filter(taken_off),
        currency=currency,
        tax_name=tax_name,
        due_on=due_on,
        note=note,
    )


def _to_bill(client: Client, papers: Iterable[MoneyPaper]) -> list[MoneyPaper]:
    """The papers with all that a draft reads of them."""
    asked = {paper.pk for paper in papers}
    found = papers_to_bill().filter(pk__in=asked, session__project__client=client)
    found = list(found.order_by("session__starts_at", "pk"))
    for paper in MoneyPaper.objects.filter(pk__in=asked - {each.pk for each in found}):
        raise InvoiceRefused(
            f"{paper} is billed already, was replaced, charges nothing or is another client’s."
        )
    if refused := obstacles(found):
        raise InvoiceRefused(list(refused.values()))
    return found


def obstacles(papers: Sequence[MoneyPaper]) -> dict[int, str]:
    """Why some of the papers that are to be billed can’t be yet, by their keys. A constant number of
    queries."""
    older = Invoice.objects.in_bulk(
        [paper.billed_before for paper in papers if paper.billed_before]
    )
    found = {
        paper.pk: f"{older[paper.billed_before]} bills the session as it stood before {paper}: credit that first."
        for paper in papers
        if paper.billed_before
    }
    for paper in _overtaken(papers):
        found.setdefault(paper.pk, f"{OVERTAKEN} {paper} was issued: issue a new one first.")
    return found


def _overtaken(papers: Iterable[MoneyPaper]) -> list[MoneyPaper]:
    """Those work orders that are no longer what their session is charged."""
    orders = [paper for paper in papers if paper.kind == PaperKind.WORK_ORDER]
    sessions = (
        RecordingSession.objects.for_list()
        .filter(pk__in=[order.session_id for order in orders])
        .select_related("rate_card", "cancellation_terms")
        .prefetch_related(
            "rate_card__rates",
            "worked_hours",
            Prefetch("overtime", Overtime.objects.for_list()),
        )
    )
    costs = {session.pk: SessionCosts(session) for session in sessions}
    for each in costs.values():
        each.overtime = list(each.session.overtime.all())
    return [order for order in orders if was_overtaken(order, costs[order.session_id])]


def check_deposit(quote: MoneyPaper) -> None:
    """Raises InvoiceRefused where no deposit can be asked for by it."""
    session = quote.session
    if quote.kind != PaperKind.QUOTE:
        raise InvoiceRefused("A deposit is asked for by a quote.")
    if session.status in (Status.CANCELLED, Status.WRAPPED):
        raise InvoiceRefused(
            f"The session is {session.get_status_display().lower()}: bill what it came to."
        )
    if newer := quote.replaced_by:
        raise InvoiceRefused(f"{newer} replaces {quote}: ask for the deposit of that.")
    for line in billed_by(session.money_papers.filter(kind=PaperKind.QUOTE)).values():
        raise InvoiceRefused(f"{line.invoice} asks for a deposit already: credit it first.")


@dataclass(frozen=True)
class PaperRow:
    """A paper of a session: what bills it or asks for its deposit, and what may be done next."""

    paper: MoneyPaper
    total: str
    invoice: Invoice | None
    can_bill: bool
    can_ask_deposit: bool


def paper_rows(session: RecordingSession, papers: Sequence[MoneyPaper]) -> list[PaperRow]:
    """For papers of one session, the newest first. Two queries."""
    lines = billed_by(session.money_papers.all())
    to_bill = set(papers_to_bill().filter(session=session).values_list("pk", flat=True))
    is_over = session.status in (Status.CANCELLED, Status.WRAPPED)
    quotes = [paper for paper in papers if paper.kind == PaperKind.QUOTE]
    asked = any(quote.pk in lines for quote in quotes)
    return [
        PaperRow(
            paper,
            figures(paper.total, paper.currency),
            lines[paper.pk].invoice if paper.pk in lines else None,
            can_bill=paper.pk in to_bill,
            can_ask_deposit=paper in quotes[:1] and not asked and not is_over and paper.total > 0,
        )
        for paper in papers
    ]
