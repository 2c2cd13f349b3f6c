import django_tables2 as tables

from gear.tables import RETIRED
from sessions.rooms.models import Room


class RoomTable(tables.Table):
    name = tables.TemplateColumn(template_name="sessions/rooms/_name.html")
    note = tables.Column(orderable=False)

    class Meta:
        model = Room
        fields = ["name", "note"]
        row_attrs = RETIRED
        empty_text = "No rooms yet."
