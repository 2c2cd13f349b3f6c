"""What was signed stays as it was signed."""

from sessions.constraints.triggers import Trigger, triggers_of_rows

SIGNATURE_KEPT = "signature_kept: what was signed stays as it was signed"
OVERTIME = "studio_sessions_overtime"
OVERTIME_KEPT = "overtime_kept: what was approved stays as it was approved, and is voided once"
OVERTIME_FACTS = ("session_id", "starts_at", "ends_at", "signature_id", "currency")
SIGNED = [
    *triggers_of_rows("studio_sessions_signature", "signature_kept", SIGNATURE_KEPT),
    *triggers_of_rows("studio_sessions_ordersignature", "order_signature_kept", SIGNATURE_KEPT),
    Trigger(
        "rule_overtime_kept_update",
        OVERTIME,
        "UPDATE",
        "OLD.voided_at IS NOT NULL OR COALESCE(NEW.total, -1) <> COALESCE(OLD.total, -1) OR "
        + " OR ".join(f"NEW.{fact} <> OLD.{fact}" for fact in OVERTIME_FACTS),
        OVERTIME_KEPT,
    ),
    Trigger("rule_overtime_kept_delete", OVERTIME, "DELETE", "1 = 1", OVERTIME_KEPT),
]
