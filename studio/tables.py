import django_tables2 as tables

from gear.tables import Columns, ListTable
from studio.models import User


class SignInTable(ListTable):
    caption = "Sign-ins"
    name = tables.Column(
        "Name",
        accessor="username",
        linkify=lambda record: record.get_absolute_url(),
        order_by=("first_name", "last_name", "username"),
    )
    username = tables.Column("Signs in as", attrs={"td": {"class": "mono"}})
    person = tables.Column("Person", accessor="person__name", default="none")
    last_login = tables.DateTimeColumn(verbose_name="Last signed in", default="never")
    second_factor_since = tables.DateTimeColumn(verbose_name="Second factor since", default="none")
    is_active = tables.TemplateColumn(
        template_name="studio/_sign_in_state.html",
        verbose_name="State",
    )
    password = tables.TemplateColumn(
        "<a href=\"{% url 'sign_in_password' record.pk %}\">New password"
        '<span class="visually-hidden"> for {{ record }}</span></a>',
        verbose_name="Password",
        orderable=False,
    )

    class Meta:
        model = User
        fields = [
            *("name", "username", "role", "person"),
            *("last_login", "second_factor_since", "is_active", "password"),
        ]
        row_attrs = {"class": lambda record: "" if record.is_active else "retired"}

    def render_name(self, record):
        return str(record)

    def csv_columns(self) -> Columns:
        return {
            "name": str,
            "signs in as": lambda user: user.username,
            "role": lambda user: user.get_role_display(),
            "person": lambda user: getattr(user, "person", None),
            "last signed in": lambda user: user.last_login,
            "second factor since": lambda user: user.second_factor_since,
            "may sign in": lambda user: user.is_active,
        }
