import django_tables2 as tables

from gear.tables import FIGURE, Columns, ListTable
from studio.backups.models import Backup


class BackupTable(ListTable):
    caption = "Backups"
    made_at = tables.DateTimeColumn(verbose_name="Made")
    file = tables.TemplateColumn(template_name="studio/backups/_file.html", orderable=False)
    size = tables.TemplateColumn(
        "{% if value %}{{ value|filesizeformat }}{% endif %}", verbose_name="Size", attrs=FIGURE
    )
    holds = tables.TemplateColumn(
        template_name="studio/backups/_holds.html", verbose_name="Holds", orderable=False
    )
    made_by = tables.Column("Made by", default="the studio", orderable=False)
    state = tables.TemplateColumn(
        template_name="studio/backups/_state.html",
        verbose_name="State",
        empty_values=(),
        orderable=False,
    )

    class Meta:
        model = Backup
        fields = ["made_at", "file", "size", "holds", "made_by", "state"]
        order_by = "-made_at"
        row_attrs = {"class": lambda record: "retired" if record.removed_at else ""}

    def csv_columns(self) -> Columns:
        return {
            "made": lambda backup: backup.made_at,
            "made by": lambda backup: backup.made_by,
            "file": lambda backup: backup.file,
            "bytes": lambda backup: backup.size,
            "rows": lambda backup: backup.holds.get("rows"),
            "files": lambda backup: backup.holds.get("files"),
            "files only listed": lambda backup: backup.holds.get("listed"),
            "SHA-256": lambda backup: backup.sha256,
            "failure": lambda backup: backup.failure,
            "removed": lambda backup: backup.removed_at,
        }
