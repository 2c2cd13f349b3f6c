import django_tables2 as tables

from gear.tables import FIGURE, RETIRED
from sessions.deliverables.media.models import Medium


class MediumTable(tables.Table):
    caption = "Media"
    name = tables.Column("Label", linkify=True)
    owner = tables.Column(orderable=False)
    is_off_site = tables.BooleanColumn("Off site", yesno="Yes,", attrs={"td": {}})
    copy_count = tables.Column("Copies", attrs=FIGURE)

    class Meta:
        model = Medium
        fields = ["name", "kind", "place", "is_off_site", "owner", "copy_count"]
        order_by = "name"
        row_attrs = RETIRED
        empty_text = "No media yet."
