"""Issue invoices, deposit invoices and credit notes: each in one transaction, with the next number."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from gear.acting import action
from sessions.bookings.models import RecordingSession, Status
from sessions.clients.models import Client
from sessions.money.drafting import OVERTAKEN, was_overtaken
from sessions.money.invoices.billing import billed_by, deposits_left, papers_to_bill
from sessions.money.invoices.crediting import drafted_credit_note
from sessions.money.invoices.drafting import (
    Draft,
    InvoiceRefused,
    OtherLine,
    drafted_deposit,
    drafted_invoice,
)
from sessions.money.invoices.models import Invoice, InvoiceKind, InvoiceLine
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.numbering import one_at_a_time
from sessions.money.session_costs import SessionCosts


@action
def issue_invoice(
    client: Client,
    *,
    papers: Iterable[MoneyPaper] = (),
    other: Sequence[OtherLine] = (),
    deposits: Iterable[Invoice] | None = None,
    currency: str = "",
    due_on: date | None = None,
    note: str = "",
    by,
) -> Invoice:
    """Bill work orders and charges of cancellations of one client, and other lines.

    `deposits` are the deposit invoices that are taken off; None takes off those of the sessions that
    are billed. Raises InvoiceRefused for what is billed already or no longer what is charged.
    """
    one_at_a_time()
    papers = to_bill(client, papers)
    draft = drafted_invoice(
        client,
        papers=papers,
        other=other,
        deposits=_taken_off(client, papers, deposits),
        currency=currency,
        due_on=due_on,
        note=note,
    )
    return _issue(draft, by=by)


def to_bill(client: Client, papers: Iterable[MoneyPaper]) -> list[MoneyPaper]:
    """The papers with all that a draft reads of them. Raises InvoiceRefused for one that can’t be
    billed now."""
    asked = {paper.pk for paper in papers}
    found = papers_to_bill().filter(pk__in=asked, session__project__client=client)
    found = list(found.order_by("session__starts_at", "pk"))
    for paper in MoneyPaper.objects.filter(pk__in=asked - {each.pk for each in found}):
        raise InvoiceRefused(
            f"{paper} is billed already, was replaced, charges nothing or is another client’s."
        )
    for paper in found:
        if paper.billed_before:
            billed = Invoice.objects.get(pk=paper.billed_before)
            raise InvoiceRefused(
                f"{billed} bills an earlier work order than {paper}: credit that first."
            )
        if paper.kind == PaperKind.WORK_ORDER and _is_void(paper):
            raise InvoiceRefused(f"{OVERTAKEN} {paper} was issued: issue a new one first.")
    return found


def _is_void(paper: MoneyPaper) -> bool:
    loaded = RecordingSession.objects.for_list().select_related("rate_card", "cancellation_terms")
    return was_overtaken(paper, SessionCosts(loaded.get(pk=paper.session_id)))


def _taken_off(
    client: Client, papers: list[MoneyPaper], deposits: Iterable[Invoice] | None
) -> list[InvoiceLine]:
    left = deposits_left(client)
    if deposits is None:
        return list(left.filter(money_paper__session__in=[each.session_id for each in papers]))
    return list(left.filter(invoice__in=[deposit.pk for deposit in deposits]))


@action
def issue_deposit_invoice(
    quote: MoneyPaper,
    *,
    amount: Decimal | None = None,
    due_on: date | None = None,
    note: str = "",
    by,
) -> Invoice:
    """Ask for the deposit of a quote, or another `amount`, which includes tax. Raises InvoiceRefused."""
    one_at_a_time()
    quote = MoneyPaper.objects.select_related("session__project__client").get(pk=quote.pk)
    check_deposit(quote)
    amount = quote.deposit if amount is None else amount
    return _issue(drafted_deposit(quote, amount=amount, due_on=due_on, note=note), by=by)


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


@action
def issue_credit_note(
    invoice: Invoice, *, amounts: Mapping[int, Decimal] | None = None, note: str = "", by
) -> Invoice:
    """Credit all that is left of an invoice, or `amounts` before tax of some of its lines, by their
    keys. Raises InvoiceRefused for more than is left."""
    one_at_a_time()
    if invoice.kind == InvoiceKind.CREDIT_NOTE:
        raise InvoiceRefused("A credit note is not credited: issue another invoice.")
    return _issue(drafted_credit_note(invoice, amounts=amounts, note=note), by=by)


def _issue(draft: Draft, *, by) -> Invoice:
    invoice = draft.invoice
    invoice.number = 1 + Invoice.objects.filter(kind=invoice.kind).count()
    invoice.issued_by = by
    invoice.save(force_insert=True)
    for line in draft.lines:
        line.invoice = invoice
    InvoiceLine.objects.bulk_create(draft.lines)
    return invoice
