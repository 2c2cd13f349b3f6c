"""Who changed what and when: rows that nothing changes or deletes, nor what they name.

`sessions/constraints/` refuses both; the user whom a row names cannot be deleted.
"""

from django.apps import apps
from django.db import transaction
from django.db.models import PROTECT, Model, QuerySet
from simple_history.models import HistoricalRecords


class History(HistoricalRecords):
    """Of each save and delete a row, as the library writes it. The user stays as long as any row
    that names them: a sign-in is closed, not deleted."""

    def _get_history_user_fields(self) -> dict:
        fields = super()._get_history_user_fields()
        fields["history_user"].remote_field.on_delete = PROTECT
        return fields


@transaction.atomic
def update_with_history(rows: QuerySet, **facts) -> int:
    """An UPDATE of which the history of each row tells; how many rows there were."""
    model = rows.model
    keys = list(rows.order_by().select_for_update(no_key=True).values_list("pk", flat=True))
    changed = model._base_manager.filter(pk__in=keys)
    changed.update(**facts)
    model.history.bulk_history_create(list(changed), update=True)
    return len(keys)


def history_models() -> list[type[Model]]:
    """The models of all history rows, those of many-to-many fields among them, by their tables."""
    found = [model for model in apps.get_models() if _keeps_history(model)]
    return sorted(found, key=lambda model: model._meta.db_table)


def _keeps_history(model: type[Model]) -> bool:
    return hasattr(model, "history_type") or hasattr(model, "m2m_history_id")
