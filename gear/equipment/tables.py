import django_tables2 as tables

from gear.equipment.lists.columns import MODEL_CELLS, UNIT_CELLS
from gear.equipment.models import GearModel, Unit, UnitState
from gear.tables import FIGURE, Columns, ListTable


def _row_class(record):
    return "retired" if record.state == UnitState.RETIRED else ""


class UnitTable(ListTable):
    caption = "Units"
    asset_tag = tables.Column(
        linkify=True, verbose_name="Tag", attrs={"td": {"class": "mono nowrap"}}
    )
    model = tables.Column(linkify=True, order_by=("model__maker", "model__name"))
    category = tables.Column(
        accessor="model__get_category_display", order_by="model__category", verbose_name="Category"
    )
    home = tables.Column(order_by=("home_room", "rack", "slot"), default="not given")
    state = tables.TemplateColumn("{% load look %}{% badge record.get_state_display %}")
    open_fault_count = tables.TemplateColumn(
        template_name="gear/equipment/_open_faults.html", verbose_name="Open faults", attrs=FIGURE
    )

    class Meta:
        model = Unit
        fields = []
        row_attrs = {"class": _row_class}
        empty_text = "No unit matches. Show all, or add one."

    def csv_columns(self) -> Columns:
        return UNIT_CELLS


class GearModelTable(ListTable):
    caption = "Models"
    maker = tables.Column(attrs={"td": {"class": "nowrap"}})
    name = tables.Column(linkify=True, verbose_name="Model")
    category = tables.Column()
    phantom = tables.Column(verbose_name="Phantom power")
    unit_count = tables.Column(verbose_name="Units", attrs=FIGURE)

    class Meta:
        model = GearModel
        fields = []
        sequence = ["name", "maker", "..."]
        empty_text = "No model matches. Show all, or add one."

    def csv_columns(self) -> Columns:
        return MODEL_CELLS
