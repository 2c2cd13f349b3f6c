import django_tables2 as tables

from gear.tables import FIGURE, Columns, ListTable
from sessions.money.models import MoneyPaper
from sessions.money.paper_csv import COLUMNS
from sessions.terms.currencies import figures


class PaperTable(ListTable):
    caption = "Quotes and work orders"
    paper = tables.TemplateColumn(
        template_name="sessions/money/_paper.html", order_by=("kind", "number")
    )
    issued_at = tables.DateTimeColumn(verbose_name="Issued", order_by=("issued_at", "pk"))
    session = tables.TemplateColumn(
        template_name="sessions/money/_paper_session.html",
        order_by=("session__title", "session__starts_at", "pk"),
    )
    client = tables.Column(
        "Client",
        accessor="session__project__client__name",
        order_by=("session__project__client__name", "pk"),
    )
    valid_until = tables.DateColumn(default="", order_by=("valid_until", "pk"))
    signed = tables.TemplateColumn(
        template_name="sessions/money/_signed.html", order_by=("signed__signature__signed_at", "pk")
    )
    total = tables.Column(attrs=FIGURE, order_by=("currency", "total", "pk"))

    class Meta:
        model = MoneyPaper
        fields = ["paper", "issued_at", "session", "client", "valid_until", "signed", "total"]
        empty_text = "No quotes or work orders match."

    def render_total(self, record):
        return f"{figures(record.total, record.currency)} {record.currency}"

    def csv_columns(self) -> Columns:
        return COLUMNS
