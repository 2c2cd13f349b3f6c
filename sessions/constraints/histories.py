"""History stays as it was written. Only an erasure of personal data (`studio/erasing/`) changes its
rows; nothing deletes them."""

from dataclasses import replace

from gear.editing.history import history_models
from sessions.constraints.triggers import ERASURE, Trigger, unless_erasing

HISTORY_KEPT = "history_kept: history stays as it was written"
ERASURE_KEPT = "erasure_kept: that personal data was erased is kept for good"
ERASURES = [
    # What is open points to no row, so that it can’t be committed: never to itself nor to another.
    Trigger(
        "rule_erasure_open_insert",
        ERASURE,
        "INSERT",
        "NEW.still_open_id <> 0 OR NEW.id = 0",
        ERASURE_KEPT,
    ),
    Trigger(
        "rule_erasure_update",
        ERASURE,
        "UPDATE",
        "OLD.still_open_id IS NULL OR NEW.still_open_id IS NOT NULL OR NEW.id <> OLD.id",
        ERASURE_KEPT,
    ),
    Trigger("rule_erasure_delete", ERASURE, "DELETE", "1 = 1", ERASURE_KEPT),
]


def truncations() -> list[Trigger]:
    """PostgreSQL can empty a table without a look at its rows, which no rule of rows sees."""
    return [
        replace(rule, name=rule.name.replace("_delete", "_truncate"), event="TRUNCATE")
        for rule in ERASURES + history_triggers()
        if rule.event == "DELETE"
    ]


def history_triggers() -> list[Trigger]:
    """Of every history table that the program has, by its model."""
    return unless_erasing(
        [
            Trigger(
                f"rule_{model._meta.model_name.replace('historical', 'history_')}_{event.lower()}",
                model._meta.db_table,
                event,
                "1 = 1",
                HISTORY_KEPT,
            )
            for model in history_models()
            for event in ("UPDATE", "DELETE")
        ]
    )
