"""What the accountant is given for a period: what was issued, its lines, its tax by rate, what was received
and what that was used for. Amounts that are given back stand below 0, so that every column adds up."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from gear.comma_separated import csv_answer
from gear.list_pages import AT_ONCE
from sessions.money.invoices.models import Invoice, InvoiceLine
from sessions.money.payments.forms import period_of
from sessions.money.payments.models import Allocation, Payment
from sessions.money.payments.payment_csv import PAYMENTS, Meant, figure
from sessions.terms.taxes import TaxRow


def signed(amount: Decimal, invoice: Invoice) -> Decimal:
    return figure(-amount if invoice.is_credit_note else amount, invoice.currency)


OF_INVOICE: Meant = {
    "kind": (
        "invoice, deposit invoice or credit note.",
        lambda row: row.get_kind_display().lower(),
    ),
    "number": ("Runs from 1 without a gap for each kind.", lambda row: row.number),
    "dated": ("The day that it bears, and its tax point.", lambda row: row.dated),
    "client": ("Who is charged.", lambda row: row.client),
    "currency": ("By ISO 4217.", lambda row: row.currency),
}
INVOICES: Meant = OF_INVOICE | {
    "due": (
        "The last day on which it is paid in time; none on a credit note.",
        lambda row: row.due_on,
    ),
    "credits": ("What a credit note credits.", lambda row: str(row.credits or "").lower()),
    "net": ("Before tax; below 0 on a credit note.", lambda row: signed(row.net, row)),
    "tax": ("Of all rates together.", lambda row: signed(row.tax, row)),
    "total": ("Net and tax.", lambda row: signed(row.total, row)),
    "issued": (
        "When it was issued.",
        lambda row: row.issued_at,
    ),
    "issued by": ("Who issued it.", lambda row: row.issued_by),
    "note": ("What was noted on it.", lambda row: row.note),
}


def _of_its_invoice(columns: Meant) -> Meant:
    """The columns, read from a row that belongs to an invoice."""
    return {
        name: (meaning, lambda row, read=read: read(row.invoice))
        for name, (meaning, read) in columns.items()
    }


LINES: Meant = _of_its_invoice(OF_INVOICE) | {
    "line": ("Its place on the paper.", lambda row: row.position),
    "what": ("What is charged.", lambda row: row.what),
    "bills": (
        "The work order, quote or cancellation that it bills.",
        lambda row: str(row.money_paper or "").lower(),
    ),
    "of": (
        "The deposit invoice that it takes off, or the invoice that it credits.",
        lambda row: str(row.of_line.invoice).lower() if row.of_line else "",
    ),
    "tax name": ("As the rate card has it.", lambda row: row.tax_name),
    "tax per cent": ("The rate.", lambda row: row.tax_percent),
    "net": (
        "Before tax; a deposit taken off is below 0.",
        lambda row: signed(row.net, row.invoice),
    ),
}


@dataclass(frozen=True)
class Taxed:
    """One rate of one invoice."""

    invoice: Invoice
    row: TaxRow


TAXES: Meant = _of_its_invoice(OF_INVOICE) | {
    "tax name": ("As the rate card has it.", lambda taxed: taxed.row.name),
    "tax per cent": ("The rate.", lambda taxed: taxed.row.percent),
    "net": ("The taxable amount at that rate.", lambda taxed: signed(taxed.row.net, taxed.invoice)),
    "tax": (
        "Rounded once for each rate of an invoice, halves up.",
        lambda taxed: signed(taxed.row.tax, taxed.invoice),
    ),
}
USED: Meant = {
    "payment": ("Its number.", lambda row: row.payment_id),
    "received on": ("The day of the payment.", lambda row: row.payment.received_on),
    "client": ("Whose money it is.", lambda row: row.payment.client),
    "used for": (
        "The invoice, or the refund or correction by its number.",
        lambda row: str(row.invoice or row.refund).lower(),
    ),
    "currency": ("By ISO 4217.", lambda row: row.payment.currency),
    "amount": (
        "Below 0 where an earlier row is undone.",
        lambda row: figure(row.amount, row.payment.currency),
    ),
    "entered": (
        "When.",
        lambda row: row.made_at,
    ),
    "entered by": ("Who said so.", lambda row: row.made_by),
}


def _invoices(since: date, until: date) -> QuerySet:
    found = Invoice.objects.filter(dated__range=(since, until)).defer("as_issued")
    return found.select_related("client", "issued_by", "credits").order_by("dated", "pk")


def _lines(since: date, until: date) -> QuerySet:
    found = InvoiceLine.objects.filter(invoice__dated__range=(since, until))
    loaded = found.select_related("invoice__client", "money_paper", "of_line__invoice")
    return loaded.order_by("invoice__dated", "invoice", "position")


def _taxes(since: date, until: date) -> Iterable[Taxed]:
    for invoice in _invoices(since, until).iterator(chunk_size=AT_ONCE):
        for row in invoice.taxes:
            yield Taxed(invoice, row)


def _payments(since: date, until: date) -> QuerySet:
    return Payment.objects.filter(received_on__range=(since, until)).for_list().in_order()


def _used(since: date, until: date) -> QuerySet:
    found = Allocation.objects.filter(payment__received_on__range=(since, until))
    return found.select_related("payment__client", "invoice", "refund", "made_by").order_by("pk")


LISTS = {
    "invoices": ("Invoices", INVOICES, _invoices),
    "lines": ("Lines", LINES, _lines),
    "tax": ("Tax by rate", TAXES, _taxes),
    "payments": (
        "Payments",
        PAYMENTS,
        _payments,
    ),
    "used": ("Uses of payments", USED, _used),
}


def accountant(request: HttpRequest) -> HttpResponse:
    """A period, and its lists; what each column means."""
    form, since, until = period_of(request)
    context = {
        "form": form,
        "since": since,
        "until": until,
        "lists": [
            (name, title, [(column, meaning) for column, (meaning, _) in columns.items()])
            for name, (title, columns, _) in LISTS.items()
        ],
    }
    return TemplateResponse(request, "sessions/money/payments/accountant.html", context)


def accountant_csv(request: HttpRequest, name: str) -> HttpResponse:
    if name not in LISTS:
        raise Http404("There is no such list.")
    _, since, until = period_of(request)
    _, columns, rows_of = LISTS[name]
    rows = rows_of(since, until)
    if isinstance(rows, QuerySet):
        rows = rows.iterator(chunk_size=AT_ONCE)
    values = ([read(row) for _, read in columns.values()] for row in rows)
    return csv_answer(f"{name}-{since}-{until}.csv", columns, values)
