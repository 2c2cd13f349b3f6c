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
