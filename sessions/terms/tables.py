from datetime import timedelta

import django_tables2 as tables

from gear.tables import FIGURE, RETIRED, Columns, ListTable
from sessions.periods import duration_in_words
from sessions.terms.models import CancellationTerms, RateCard


class CardTable(ListTable):
    caption = "Rate cards"
    name = tables.Column(linkify=True)
    step_minutes = tables.Column("Billing step", attrs=FIGURE)
    minimum_minutes = tables.Column("Minimum per day", attrs=FIGURE)
    rate_count = tables.Column("Rates", attrs=FIGURE)

    class Meta:
        model = RateCard
        fields = ["name", "currency", "minimum_minutes", "step_minutes", "rate_count"]
        row_attrs = RETIRED
        empty_text = "No rate cards yet. A session without one has no price."

    def render_step_minutes(self, value):
        return duration_in_words(timedelta(minutes=value))

    render_minimum_minutes = render_step_minutes

    def csv_columns(self) -> Columns:
        return {
            "name": lambda card: card.name,
            "currency": lambda card: card.currency,
            "minimum per day, minutes": lambda card: card.minimum_minutes,
            "billing step, minutes": lambda card: card.step_minutes,
            "rates": lambda card: card.rate_count,
            "retired": lambda card: card.retired,
        }


class TermsTable(ListTable):
    caption = "Cancellation terms"
    name = tables.Column(linkify=True)
    step_count = tables.Column("Steps", attrs=FIGURE)

    class Meta:
        model = CancellationTerms
        fields = ["name", "counted_from", "step_count"]
        row_attrs = RETIRED
        empty_text = "No terms yet. Without terms, a cancellation costs whatever you agree."

    def csv_columns(self) -> Columns:
        return {
            "name": lambda terms: terms.name,
            "notice is counted to": lambda terms: terms.get_counted_from_display(),
            "steps": lambda terms: terms.step_count,
            "retired": lambda terms: terms.retired,
            "note": lambda terms: terms.note,
        }
