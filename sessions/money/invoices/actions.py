"""Issue invoices, deposit invoices and credit notes: each in one transaction, with the next number."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from gear.acting import action
from sessions.clients.models import Client
from sessions.money.invoices.crediting import drafted_credit_note
from sessions.money.invoices.drafting import Draft, drafted_deposit
from sessions.money.invoices.models import Invoice, InvoiceLine
from sessions.money.invoices.owed import check_deposit, draft_of_invoice
from sessions.money.invoices.reminders import forget_reminders_of_settled
from sessions.money.models import MoneyPaper
from sessions.money.numbering import one_at_a_time


@action
def issue_invoice(client: Client, *, by, **what) -> Invoice:
    """Bill work orders and charges of cancellations of one client, and other lines: `what` is as
    `draft_of_invoice` asks for it. Raises InvoiceRefused for what is billed already or no longer what is
    charged."""
    one_at_a_time()
    return _issue(draft_of_invoice(client, **what), by=by)


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


@action
def issue_credit_note(
    invoice: Invoice, *, amounts: Mapping[int, Decimal] | None = None, note: str = "", by
) -> Invoice:
    """Credit all that is left of an invoice, or `amounts` before tax of some of its lines, by their
    keys. Raises InvoiceRefused for more than is left."""
    one_at_a_time()
    issued = _issue(drafted_credit_note(invoice, amounts=amounts, note=note), by=by)
    forget_reminders_of_settled([invoice.pk])
    return issued


def _issue(draft: Draft, *, by) -> Invoice:
    invoice = draft.invoice
    invoice.number = 1 + Invoice.objects.filter(kind=invoice.kind).count()
    invoice.issued_by = by
    invoice.save(force_insert=True)
    for line in draft.lines:
        line.invoice = invoice
    InvoiceLine.objects.bulk_create(draft.lines)
    return invoice
