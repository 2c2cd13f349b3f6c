import django_tables2 as tables
from django.utils import timezone

from gear.tables import FIGURE, Columns, ListTable
from sessions.calendar.feeds.models import FeedAddress


def _row_class(record: FeedAddress) -> str:
    return "retired" if record.revoked_at or record.is_expired(timezone.now()) else ""


class FeedTable(ListTable):
    caption = "Calendar feeds"
    of = tables.Column("Sessions of", order_by=("whole_house", "room__name", "person__name", "pk"))
    made_at = tables.DateTimeColumn(verbose_name="Made")
    made_by = tables.Column("By")
    last_used_at = tables.DateTimeColumn(verbose_name="Last read", default="never")
    times_used = tables.Column("Times read", attrs=FIGURE)
    standing = tables.TemplateColumn(
        verbose_name="State",
        template_name="sessions/calendar/feeds/_standing.html",
        extra_context={"now": timezone.now},
        order_by=("revoked_at", "expires_at", "pk"),
    )

    def render_of(self, record: FeedAddress) -> str:
        return "The whole house" if record.whole_house else record.of

    class Meta:
        model = FeedAddress
        fields = ["of", "made_at", "made_by", "last_used_at", "times_used", "standing"]
        row_attrs = {"class": _row_class}
        empty_text = "No feeds yet."

    def csv_columns(self) -> Columns:
        return {
            "sessions of": self.render_of,
            "made": lambda feed: feed.made_at,
            "by": lambda feed: feed.made_by,
            "last read": lambda feed: feed.last_used_at,
            "times read": lambda feed: feed.times_used,
            "expires": lambda feed: feed.expires_at,
            "revoked": lambda feed: feed.revoked_at,
        }
