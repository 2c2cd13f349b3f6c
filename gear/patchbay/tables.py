import django_tables2 as tables

from gear.patchbay.models import Bay
from gear.tables import FIGURE, Columns, ListTable


class BayTable(ListTable):
    caption = "Patch bays"
    name = tables.Column(linkify=True)
    location = tables.Column(default="not given")
    row_count = tables.Column(verbose_name="Rows", attrs=FIGURE)
    point_count = tables.Column(verbose_name="Points", attrs=FIGURE)

    class Meta:
        model = Bay
        fields = []
        empty_text = "No patch bay yet. Add the first one."

    def csv_columns(self) -> Columns:
        return {
            "name": lambda bay: bay.name,
            "location": lambda bay: bay.location,
            "rows": lambda bay: bay.row_count,
            "points": lambda bay: bay.point_count,
            "note": lambda bay: bay.note,
        }


#: Of points `with_links`.
POINT_COLUMNS: Columns = {
    "row": lambda point: point.row,
    "column": lambda point: point.column,
    "label": lambda point: point.label,
    "level": lambda point: point.get_level_display(),
    "side": lambda point: point.get_side_display(),
    "unit": lambda point: point.unit,
    "channel": lambda point: point.channel,
    "socket": lambda point: point.socket,
    "normal": lambda point: point.normal_text,
    "mult": lambda point: point.mult,
}
