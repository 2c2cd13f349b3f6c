import django_tables2 as tables

from gear.tables import Columns, ListTable
from sessions.letters.letter_csv import COLUMNS
from sessions.letters.models import Letter


class LetterTable(ListTable):
    caption = "Letters"
    written_at = tables.DateTimeColumn(verbose_name="Written", order_by=("written_at", "pk"))
    to = tables.TemplateColumn(
        verbose_name="To", template_name="sessions/letters/_reader.html", order_by=("to", "pk")
    )
    subject = tables.Column(linkify=True, order_by=("subject", "pk"))
    about = tables.TemplateColumn(
        verbose_name="About", template_name="sessions/letters/_about.html", orderable=False
    )
    state = tables.TemplateColumn(
        verbose_name="What came of it",
        template_name="sessions/letters/_state.html",
        order_by=("state", "written_at", "pk"),
    )

    class Meta:
        model = Letter
        fields = ["written_at", "to", "subject", "about", "state"]
        order_by = "-written_at"
        row_attrs = {"class": lambda record: "retired" if record.state == "replaced" else ""}
        empty_text = "No letters match."

    def csv_columns(self) -> Columns:
        return COLUMNS
