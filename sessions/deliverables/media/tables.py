import django_tables2 as tables

from gear.tables import FIGURE, RETIRED, Columns, ListTable
from sessions.deliverables.media.models import Medium


class MediumTable(ListTable):
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

    def csv_columns(self) -> Columns:
        return {
            "label": lambda medium: medium.name,
            "kind": lambda medium: medium.get_kind_display(),
            "serial number": lambda medium: medium.serial_number,
            "folder": lambda medium: medium.folder,
            "place": lambda medium: medium.place,
            "off site": lambda medium: medium.is_off_site,
            "owner": lambda medium: medium.owner,
            "copies": lambda medium: medium.copy_count,
            "retired": lambda medium: medium.retired,
            "note": lambda medium: medium.note,
        }


#: Of copies `for_list`, by project or by medium.
COPY_COLUMNS: Columns = {
    "project": lambda copy: copy.project,
    "medium": lambda copy: copy.medium,
    "place": lambda copy: copy.medium.place,
    "what": lambda copy: copy.what,
    "folder": lambda copy: copy.folder,
    "verified": lambda copy: copy.verified_at,
    "verified by": lambda copy: copy.verified_by,
    "kept until": lambda copy: copy.kept_until,
    "client told": lambda copy: copy.told_at,
    "removed": lambda copy: copy.removed_at,
    "note": lambda copy: copy.note,
}
