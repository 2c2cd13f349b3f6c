"""Who changed what and when: rows that nothing changes or deletes, nor what they name.

`sessions/constraints/` refuses both; the user whom a row names cannot be deleted.
"""

from django.apps import apps
from django.db.models import PROTECT, Model
from simple_history.models import HistoricalRecords


class History(HistoricalRecords):
    """Of each save and delete a row, as the library writes it. The user stays as long as any row
    that names them: a sign-in is closed, not deleted."""

    def _get_history_user_fields(self) -> dict:
        fields = super()._get_history_user_fields()
        fields["history_user"].remote_field.on_delete = PROTECT
        return fields


def history_models() -> list[type[Model]]:
    """The models of all history rows, those of many-to-many fields among them, by their tables."""
    found = [model for model in apps.get_models() if _keeps_history(model)]
    return sorted(found, key=lambda model: model._meta.db_table)


def _keeps_history(model: type[Model]) -> bool:
    return hasattr(model, "history_type") or hasattr(model, "m2m_history_id")
