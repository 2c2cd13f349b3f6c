import django_tables2 as tables

from gear.tables import FIGURE, RETIRED, Columns, ListTable
from sessions.clients.lists.columns import CLIENT_CELLS, PERSON_CELLS
from sessions.clients.models import Client, Person


class ClientTable(ListTable):
    caption = "Clients"
    name = tables.Column(linkify=True)
    email = tables.EmailColumn(verbose_name="E-mail")
    project_count = tables.Column("Projects", attrs=FIGURE)

    class Meta:
        model = Client
        fields = ["name", "email", "phone", "project_count"]
        order_by = "name"
        row_attrs = RETIRED
        empty_text = "No clients match."

    def csv_columns(self) -> Columns:
        return CLIENT_CELLS


class PersonTable(ListTable):
    caption = "People"
    name = tables.TemplateColumn(template_name="sessions/clients/_person_name.html")
    does = tables.Column("Role")
    client = tables.Column(linkify=True)
    email = tables.EmailColumn(verbose_name="E-mail")
    bookable = tables.BooleanColumn(yesno="Yes,", attrs={"td": {}})
    user = tables.Column("Signs in as")

    class Meta:
        model = Person
        fields = ["name", "does", "client", "email", "phone", "bookable", "user"]
        order_by = "name"
        row_attrs = RETIRED
        empty_text = "No people match."

    def csv_columns(self) -> Columns:
        return PERSON_CELLS
