import django_tables2 as tables

from gear.tables import Columns, ListTable


class PairTable(ListTable):
    """Rows are pairs; `caption` says of what, `merge_page` names the page that merges two."""

    merge_page = ""

    first = tables.Column(linkify=lambda value: value.get_absolute_url(), orderable=False)
    second = tables.Column(linkify=lambda value: value.get_absolute_url(), orderable=False)
    alike = tables.Column("In common", accessor="alike_in_words", orderable=False)
    merge = tables.TemplateColumn(
        template_name="sessions/desk/merging/_merge.html", verbose_name="Merge", orderable=False
    )

    class Meta:
        fields = ["first", "second", "alike", "merge"]
        empty_text = "Nobody is here twice."

    def csv_columns(self) -> Columns:
        return {
            "first": lambda pair: pair.first,
            "second": lambda pair: pair.second,
            "in common": lambda pair: pair.alike_in_words,
        }
