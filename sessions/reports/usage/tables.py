import django_tables2 as tables

from gear.tables import FIGURE
from sessions.bookings.models import RecordingSession


class OpenTable(tables.Table):
    """Sessions with what was left open about them."""

    title = tables.Column("Session", linkify=True)
    project = tables.TemplateColumn(
        template_name="sessions/bookings/_project.html",
        order_by=("project__client__name", "project__name"),
    )
    starts_at = tables.TemplateColumn(
        verbose_name="When", template_name="sessions/bookings/_when.html"
    )


class LapsedTable(OpenTable):
    lapsed_at = tables.DateTimeColumn(verbose_name="Lapsed")

    class Meta:
        model = RecordingSession
        fields = ["lapsed_at", "title", "project", "starts_at"]
        empty_text = "No hold has lapsed."


class UnbilledTable(OpenTable):
    duration = tables.Column("Length", accessor="duration_in_words", orderable=False, attrs=FIGURE)

    class Meta:
        model = RecordingSession
        fields = ["starts_at", "title", "project", "duration"]
        empty_text = "Every wrapped session has its work order."
