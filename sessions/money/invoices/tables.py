import django_tables2 as tables

from gear.tables import FIGURE, Columns, ListTable
from sessions.money.invoices.invoice_csv import COLUMNS
from sessions.money.invoices.models import Invoice
from sessions.terms.currencies import figures


class InvoiceTable(ListTable):
    caption = "Invoices"
    invoice = tables.Column(
        accessor="pk", order_by=("kind", "number"), linkify=lambda record: record.get_absolute_url()
    )
    dated = tables.DateColumn(order_by=("dated", "pk"))
    client = tables.Column(
        "Client",
        accessor="client__name",
        order_by=("client__name", "pk"),
        linkify=lambda record: record.client.get_absolute_url(),
    )
    due_on = tables.DateColumn(default="", order_by=("due_on", "pk"))
    total = tables.Column(attrs=FIGURE, order_by=("currency", "total", "pk"))

    balance = tables.Column(
        "Open", attrs=FIGURE, empty_values=[0], default="", order_by=("currency", "balance", "pk")
    )

    state = tables.TemplateColumn(
        "{% load look money %}{% if not record.is_credit_note %}{% badge record|state %}{% endif %}",
        orderable=False,
    )

    class Meta:
        model = Invoice
        fields = ["invoice", "dated", "client", "due_on", "state", "total", "balance"]
        empty_text = "No invoices match."

    def render_invoice(self, record):
        return str(record)

    def render_total(self, record):
        return record.total_in_figures

    def render_balance(self, record):
        return figures(record.balance, record.currency)

    def csv_columns(self) -> Columns:
        return COLUMNS
