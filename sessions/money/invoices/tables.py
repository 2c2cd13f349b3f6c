import django_tables2 as tables

from gear.tables import FIGURE
from sessions.money.invoices.models import Invoice


class InvoiceTable(tables.Table):
    caption = "Invoices"
    invoice = tables.Column(
        accessor="pk", order_by=("kind", "number"), linkify=lambda record: record.get_absolute_url()
    )
    dated = tables.DateColumn(order_by=("dated", "pk"))
    client = tables.Column(
        accessor="client__name",
        order_by=("client__name", "pk"),
        linkify=lambda record: record.client.get_absolute_url(),
    )
    due_on = tables.DateColumn(default="", order_by=("due_on", "pk"))
    total = tables.Column(attrs=FIGURE, order_by=("currency", "total", "pk"))

    class Meta:
        model = Invoice
        fields = ["invoice", "dated", "client", "due_on", "total"]
        empty_text = "No invoices match."

    def render_invoice(self, record):
        return str(record)

    def render_total(self, record):
        return record.total_in_figures
