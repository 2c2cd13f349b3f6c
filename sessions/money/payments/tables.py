import django_tables2 as tables

from gear.tables import FIGURE, Columns, ListTable
from sessions.money.payments.models import Payment
from sessions.money.payments.payment_csv import PAYMENTS
from sessions.terms.currencies import figures


class PaymentTable(ListTable):
    caption = "Payments"
    payment = tables.Column(accessor="kind", order_by="pk", linkify=True)
    received_on = tables.DateColumn(verbose_name="Received", order_by=("received_on", "pk"))
    client = tables.Column(order_by=("client__name", "pk"))
    method = tables.Column(order_by=("method", "pk"))
    reference = tables.Column(default="", order_by=("reference", "pk"))
    free = tables.Column("Credit left", attrs=FIGURE, order_by=("currency", "free", "pk"))
    amount = tables.Column(attrs=FIGURE, order_by=("currency", "amount", "pk"))

    class Meta:
        model = Payment
        fields = ["payment", "received_on", "client", "method", "reference", "free", "amount"]
        empty_text = "No payments match."

    def render_payment(self, record):
        return str(record)

    def render_client(self, record):
        return str(record.client)

    def render_free(self, record):
        return figures(record.free, record.currency) if record.free else ""

    def render_amount(self, record):
        return record.amount_in_words

    def csv_columns(self) -> Columns:
        return {name: read for name, (_, read) in PAYMENTS.items()}
