import django_tables2 as tables
from django.utils import timezone

from gear.tables import FIGURE, Columns, ListTable
from sessions.bookings.models import Reservation
from sessions.setups.models import Stage


class ReservedForTable(ListTable):
    """The sessions that a unit was reserved for, the newest first. Rows are reservations."""

    caption = "Reservations"
    session = tables.Column(linkify=True, verbose_name="Session", order_by="session__title")
    starts_at = tables.DateTimeColumn(verbose_name="From")
    ends_at = tables.DateTimeColumn(verbose_name="Until")
    status = tables.Column(
        accessor="session__get_status_display",
        verbose_name="Status",
        order_by="session__status",
    )
    rank = tables.Column(verbose_name="Hold", default="reserves nothing")

    class Meta:
        model = Reservation
        fields = ["session", "starts_at", "ends_at", "status", "rank"]
        sequence = fields
        empty_text = "Not reserved for any session yet."

    def csv_columns(self) -> Columns:
        return {
            "session": lambda each: each.session.title,
            "from": lambda each: each.starts_at,
            "until": lambda each: each.ends_at,
            "status": lambda each: each.session.get_status_display().lower(),
            "hold": lambda each: each.rank,
        }


class UsedInTable(ListTable):
    """Where a unit was used, the newest session first. Rows are stages `for_unit`."""

    caption = "Chains"
    date = tables.DateColumn(
        accessor="revision__chain__setup__session__starts_at",
        verbose_name="Date",
        attrs={"td": {"class": "nowrap"}},
    )
    session = tables.Column(
        verbose_name="Session",
        accessor="revision__chain__setup__session",
        linkify=("setups:session", [tables.A("revision__chain__setup__session_id")]),
        order_by="revision__chain__setup__session__title",
    )
    setup = tables.Column(
        verbose_name="Setup",
        accessor="revision__chain__setup",
        order_by="revision__chain__setup__name",
    )
    chain = tables.Column(
        verbose_name="Chain",
        accessor="revision__chain",
        linkify=("setups:revision", [tables.A("revision_id")]),
        order_by="revision__chain__source__name",
    )
    revision = tables.Column(verbose_name="Revision", accessor="revision__number", attrs=FIGURE)
    state = tables.Column(accessor="revision", verbose_name="State", orderable=False)
    path = tables.Column()
    stage = tables.Column(verbose_name="Place", accessor="position", attrs=FIGURE)

    class Meta:
        model = Stage
        fields = ["date", "session", "setup", "chain", "revision", "state", "path", "stage"]
        sequence = fields
        empty_text = "Not in any chain yet."

    def render_state(self, value) -> str:
        return "locked" if value.is_fixed else "open"

    def csv_columns(self) -> Columns:
        return {
            "date": lambda stage: timezone.localdate(stage.revision.chain.setup.session.starts_at),
            "session": lambda stage: stage.revision.chain.setup.session.title,
            "setup": lambda stage: stage.revision.chain.setup.name,
            "chain": lambda stage: stage.revision.chain,
            "revision": lambda stage: stage.revision.number,
            "state": lambda stage: self.render_state(stage.revision),
            "path": lambda stage: stage.get_path_display(),
            "place": lambda stage: stage.position,
        }
