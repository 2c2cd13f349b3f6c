import django_tables2 as tables

from gear.tables import FIGURE, Columns, ListTable
from sessions.bookings.models import RecordingSession


class OpenTable(ListTable):
    """Sessions with what was left open about them."""

    title = tables.Column("Session", linkify=True)
    project = tables.TemplateColumn(
        template_name="sessions/bookings/_project.html",
        order_by=("project__client__name", "project__name"),
    )
    starts_at = tables.TemplateColumn(
        verbose_name="When", template_name="sessions/bookings/_when.html"
    )

    def csv_columns(self) -> Columns:
        return {
            "starts": lambda session: session.starts_at,
            "ends": lambda session: session.ends_at,
            "session": lambda session: session.title,
            "project": lambda session: session.project.name,
            "client": lambda session: session.project.client.name,
        }


class LapsedTable(OpenTable):
    caption = "Lapsed holds"
    lapsed_at = tables.DateTimeColumn(verbose_name="Lapsed")

    class Meta:
        model = RecordingSession
        fields = ["lapsed_at", "title", "project", "starts_at"]
        empty_text = "No hold has lapsed."

    def csv_columns(self) -> Columns:
        return {"lapsed": lambda session: session.lapsed_at, **super().csv_columns()}


class UnbilledTable(OpenTable):
    caption = "Unbilled sessions"
    duration = tables.Column("Length", accessor="duration_in_words", orderable=False, attrs=FIGURE)
    next = tables.TemplateColumn(
        verbose_name="To do", template_name="sessions/reports/usage/_to_bill.html", orderable=False
    )

    class Meta:
        model = RecordingSession
        fields = ["starts_at", "title", "project", "duration", "next"]
        empty_text = "Every session that is over is billed."
