from datetime import timedelta

import django_tables2 as tables

from sessions.bookings.money.currencies import figures
from sessions.bookings.money.models import CancellationTerms, MoneyPaper, RateCard
from sessions.bookings.periods import duration_in_words

FIGURE = {"th": {"class": "num"}, "td": {"class": "num mono"}}


def _row_class(record) -> str:
    return "retired" if record.retired else ""


class CardTable(tables.Table):
    caption = "Rate cards"
    name = tables.Column(linkify=True)
    step_minutes = tables.Column("Billing step", attrs=FIGURE)
    minimum_minutes = tables.Column("Minimum a day", attrs=FIGURE)
    rate_count = tables.Column("Rates", attrs=FIGURE)

    class Meta:
        model = RateCard
        fields = ["name", "currency", "minimum_minutes", "step_minutes", "rate_count"]
        row_attrs = {"class": _row_class}
        empty_text = "No rate card yet. Sessions without one have no price."

    def render_step_minutes(self, value):
        return duration_in_words(timedelta(minutes=value))

    render_minimum_minutes = render_step_minutes


class TermsTable(tables.Table):
    caption = "Cancellation terms"
    name = tables.Column(linkify=True)
    step_count = tables.Column("Steps", attrs=FIGURE)

    class Meta:
        model = CancellationTerms
        fields = ["name", "counted_from", "step_count"]
        row_attrs = {"class": _row_class}
        empty_text = "No terms yet. A cancellation of a session without any costs what you agree."


class PaperTable(tables.Table):
    paper = tables.TemplateColumn(
        template_name="sessions/bookings/money/_paper.html", order_by=("kind", "number")
    )
    issued_at = tables.DateTimeColumn(
        verbose_name="Issued", format="j M Y, H:i", order_by=("issued_at", "pk")
    )
    session = tables.TemplateColumn(
        template_name="sessions/bookings/money/_paper_session.html",
        order_by=("session__title", "session__starts_at", "pk"),
    )
    client = tables.Column(
        "Client",
        accessor="session__project__client__name",
        order_by=("session__project__client__name", "pk"),
    )
    valid_until = tables.DateColumn(format="j M Y", default="", order_by=("valid_until", "pk"))
    total = tables.Column(attrs=FIGURE, order_by=("currency", "total", "pk"))

    class Meta:
        model = MoneyPaper
        fields = ["paper", "issued_at", "session", "client", "valid_until", "total"]
        empty_text = "No quote and no work order fits."

    def render_total(self, record):
        return f"{figures(record.total, record.currency)} {record.currency}"
