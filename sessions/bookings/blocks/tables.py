import django_tables2 as tables

from sessions.bookings.models import Block


class BlockTable(tables.Table):
    starts_at = tables.Column("When", accessor="period_in_words", order_by="starts_at")
    title = tables.TemplateColumn(
        verbose_name="Block", template_name="sessions/bookings/blocks/_block.html"
    )
    takes = tables.Column("Rooms, people, units", accessor="reservations", orderable=False)
    note = tables.Column(orderable=False, empty_values=())

    class Meta:
        model = Block
        fields = ["starts_at", "title", "takes", "note"]
        row_attrs = {"class": lambda record: "retired" if record.removed else ""}
        empty_text = "Nothing is blocked."

    def render_note(self, record):
        """Of somebody ill for managers only, as all that says so."""
        settles = self.request.user.has_perm("studio_sessions.settle_bookings")
        return (record.note if settles or not record.ill else "") or self.default

    def render_takes(self, record):
        return ", ".join(str(each) for each in record.reservations.all())
