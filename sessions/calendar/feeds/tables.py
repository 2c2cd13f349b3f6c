import django_tables2 as tables

from sessions.calendar.feeds.models import FeedAddress


class FeedTable(tables.Table):
    of = tables.Column(
        "Sessions of", accessor="resource", order_by=("room__name", "person__name", "pk")
    )
    made_at = tables.DateTimeColumn(verbose_name="Made", format="j M Y, H:i")
    made_by = tables.Column("By")
    last_read_at = tables.DateTimeColumn(
        verbose_name="Last read", format="j M Y, H:i", default="never"
    )
    standing = tables.TemplateColumn(
        verbose_name="State",
        template_name="sessions/calendar/feeds/_standing.html",
        order_by=("revoked_at", "pk"),
    )

    class Meta:
        model = FeedAddress
        fields = ["of", "made_at", "made_by", "last_read_at", "standing"]
        row_attrs = {"class": lambda record: "retired" if record.revoked_at else ""}
        empty_text = "No feed yet."
