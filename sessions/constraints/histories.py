"""History stays as it was written. Only an erasure of personal data (`studio/erasing/`) changes its
rows, while it is open, which it cannot stay; nothing deletes them."""

from gear.editing.history import history_models
from sessions.constraints.triggers import Trigger

HISTORY_KEPT = "history_kept: history stays as it was written"
ERASURE = "studio_erasure"
ERASURE_KEPT = "erasure_kept: that personal data was erased stays on record"
ERASURES = [
    Trigger("rule_erasure_update", ERASURE, "UPDATE", "OLD.still_open_id IS NULL", ERASURE_KEPT),
    Trigger("rule_erasure_delete", ERASURE, "DELETE", "1 = 1", ERASURE_KEPT),
]


def history_triggers() -> list[Trigger]:
    """Of every history table that the program has, by its model."""
    conditions = {
        "UPDATE": f"NOT EXISTS (SELECT 1 FROM {ERASURE} e WHERE e.still_open_id IS NOT NULL)",
        "DELETE": "1 = 1",
    }
    return [
        Trigger(
            f"rule_{model._meta.model_name.replace('historical', 'history_')}_{event.lower()}",
            model._meta.db_table,
            event,
            condition,
            HISTORY_KEPT,
        )
        for model in history_models()
        for event, condition in conditions.items()
    ]
