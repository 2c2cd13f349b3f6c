import django_tables2 as tables

from gear.tables import Columns, ListTable
from sessions.bookings.models import Block


class BlockTable(ListTable):
    caption = "Blocks"
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
        return self._note(record) or self.default

    def render_takes(self, record):
        return ", ".join(str(each) for each in record.reservations.all())

    def csv_columns(self) -> Columns:
        return {
            "starts": lambda block: block.starts_at,
            "ends": lambda block: block.ends_at,
            "kind": lambda block: block.get_kind_display(),
            "block": lambda block: block.title,
            "rooms, people, units": self.render_takes,
            "note": self._note,
            "removed": lambda block: block.removed,
        }

    def _note(self, block: Block) -> str:
        """Of somebody ill for managers only, as all that says so."""
        settles = self.request.user.has_perm("studio_sessions.settle_bookings")
        return block.note if settles or not block.ill else ""
