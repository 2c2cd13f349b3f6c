import django_tables2 as tables

from gear.tables import RETIRED, Columns, ListTable
from sessions.rooms.models import Room


class RoomTable(ListTable):
    caption = "Rooms"
    name = tables.TemplateColumn(template_name="sessions/rooms/_name.html")
    note = tables.Column(orderable=False)

    class Meta:
        model = Room
        fields = ["name", "note"]
        row_attrs = RETIRED
        empty_text = "No rooms yet."

    def csv_columns(self) -> Columns:
        return {
            "name": lambda room: room.name,
            "note": lambda room: room.note,
            "retired": lambda room: room.retired,
        }
