import django_tables2 as tables
from django.db.models import ExpressionWrapper, F, fields

from gear.tables import FIGURE, Columns, ListTable
from sessions.bookings.models import RecordingSession, Reservation
from sessions.bookings.session_csv import COLUMNS


class SessionTable(ListTable):
    caption = "Sessions"
    starts_at = tables.TemplateColumn(
        verbose_name="When", template_name="sessions/bookings/_when.html"
    )
    title = tables.Column("Session", linkify=True)
    project = tables.TemplateColumn(
        template_name="sessions/bookings/_project.html",
        order_by=("project__client__name", "project__name"),
    )
    status = tables.TemplateColumn(template_name="sessions/bookings/_standing.html")
    rooms = tables.Column("Rooms", accessor="reservations", orderable=False)
    people = tables.Column("People", accessor="reservations", orderable=False)
    duration = tables.Column("Length", accessor="duration_in_words", attrs=FIGURE)

    class Meta:
        model = RecordingSession
        fields = ["starts_at", "title", "project", "status", "rooms", "people", "duration"]
        row_attrs = {"class": lambda record: "retired" if record.status == "cancelled" else ""}
        empty_text = "No sessions match."

    def render_rooms(self, record):
        return ", ".join(str(each.room) for each in _taken(record) if each.room)

    def render_people(self, record):
        return ", ".join(str(each.person) for each in _taken(record) if each.person)

    def csv_columns(self) -> Columns:
        return COLUMNS

    def order_duration(self, sessions, descending):
        length = ExpressionWrapper(F("ends_at") - F("starts_at"), fields.DurationField())
        order = length.desc() if descending else length.asc()
        return sessions.order_by(order, "starts_at"), True


def _taken(session: RecordingSession) -> list[Reservation]:
    """What is reserved for it and to be had."""
    return [each for each in session.reservations.all() if not each.missing]
