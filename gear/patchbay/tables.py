import django_tables2 as tables

from gear.patchbay.models import Bay
from gear.tables import FIGURE


class BayTable(tables.Table):
    name = tables.Column(linkify=True)
    location = tables.Column(default="not given")
    row_count = tables.Column(verbose_name="Rows", attrs=FIGURE)
    point_count = tables.Column(verbose_name="Points", attrs=FIGURE)

    class Meta:
        model = Bay
        fields = []
        empty_text = "No patch bay yet. Add the first one."
