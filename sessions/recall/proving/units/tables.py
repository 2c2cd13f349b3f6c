import django_tables2 as tables
from django.template.loader import render_to_string

from gear.tables import FIGURE, Columns, ListTable
from sessions.recall.proving.units.years import Year


class YearsTable(ListTable):
    """What was measured of a unit, the newest first. Rows are a `Year` each."""

    caption = "Measurements"
    date = tables.DateTimeColumn(
        accessor="measurement__cautions_at",
        verbose_name="Date",
        linkify=lambda record: record.measurement.get_absolute_url(),
        attrs={"td": {"class": "nowrap"}},
    )
    channel = tables.Column(
        accessor="measurement__channel", verbose_name="Channel", default="–", attrs=FIGURE
    )
    note = tables.Column(accessor="measurement__note", verbose_name="Set as", orderable=False)
    found = tables.Column(accessor="in_short", verbose_name="Found", orderable=False)
    since = tables.Column(
        accessor="since__comparison__words",
        verbose_name="Since the first that was set so",
        default="",
        orderable=False,
    )
    state = tables.Column(verbose_name="State", orderable=False)

    class Meta:
        fields = ["date", "channel", "note", "found", "since", "state"]
        sequence = fields
        empty_text = "Not measured yet."

    def render_state(self, record: Year):
        return render_to_string(
            "sessions/recall/proving/_state.html", {"measurement": record.measurement}
        )

    def csv_columns(self) -> Columns:
        return {
            "date": lambda year: year.measurement.measured_at or year.measurement.cautions_at,
            "channel": lambda year: year.measurement.channel,
            "set as": lambda year: year.measurement.note,
            "found": lambda year: year.in_short,
            "since the first": lambda year: year.since and year.since.comparison.words,
            "state": lambda year: year.state,
            "measured by": lambda year: str(year.measurement.measured_by or ""),
        }
