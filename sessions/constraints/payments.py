"""What was received, and what it was used for, stays as it was entered."""

from sessions.constraints.papers import INVOICE
from sessions.constraints.triggers import Trigger, triggers_of_rows

PAYMENT = "studio_sessions_payment"
ALLOCATION = "studio_sessions_allocation"
PAYMENT_KEPT = (
    "payment_kept: what was received stays as it was entered, and is struck out by another"
)
ALLOCATION_KEPT = "allocation_kept: what money was used for stays, and is undone by another row"
ALLOCATED = "allocation_within_payment: no more is used than was received"
UNDONE = "allocation_undone: no more is undone than was used"
OVERPAID = "allocation_within_invoice: no more is used for an invoice than it asks"
OF_ONE_CLIENT = (
    "allocation_of_one_client: money is used for invoices of whoever paid it, in one currency"
)
PAYMENT_FACTS = ("received_on", "amount", "currency", "method", "reference", "note")


def cents(amount: str) -> str:
    """SQLite adds up floating points, which are compared as whole numbers of the smallest part."""
    return f"CAST(ROUND(100 * ({amount})) AS BIGINT)"


def _used(field: str) -> str:
    """By what stands already, for the row or the pair of rows that the new one names."""
    where = " AND ".join(f"a.{each} = NEW.{each}" for each in field.split())
    return f"COALESCE((SELECT SUM(a.amount) FROM {ALLOCATION} a WHERE {where}), 0) + NEW.amount"


def _one_fact(fact: str, of: str, key: str) -> str:
    return f"(SELECT t.{fact} FROM {of} t WHERE t.id = NEW.{key})"


CREDITED = (
    f"COALESCE((SELECT SUM(n.total) FROM {INVOICE} n WHERE n.credits_id = NEW.invoice_id), 0)"
)
PAID = [
    Trigger(
        "rule_payment_kept_update",
        PAYMENT,
        "UPDATE",
        "COALESCE(NEW.reverses_id, 0) <> COALESCE(OLD.reverses_id, 0) OR "
        + " OR ".join(f"NEW.{fact} <> OLD.{fact}" for fact in PAYMENT_FACTS),
        PAYMENT_KEPT,
    ),
    Trigger("rule_payment_kept_delete", PAYMENT, "DELETE", "1 = 1", PAYMENT_KEPT),
    *triggers_of_rows(ALLOCATION, "allocation_kept", ALLOCATION_KEPT),
    Trigger(
        "rule_allocation_within_payment",
        ALLOCATION,
        "INSERT",
        f"{cents(_used('payment_id'))} > {cents(_one_fact('amount', PAYMENT, 'payment_id'))}",
        ALLOCATED,
    ),
    Trigger(
        "rule_allocation_undone",
        ALLOCATION,
        "INSERT",
        f"NEW.invoice_id IS NOT NULL AND {cents(_used('payment_id invoice_id'))} < 0 "
        "OR NEW.refund_id IS NOT NULL AND NEW.amount < 0",
        UNDONE,
    ),
    Trigger(
        "rule_allocation_within_invoice",
        ALLOCATION,
        "INSERT",
        f"NEW.invoice_id IS NOT NULL AND NEW.amount > 0 AND {cents(_used('invoice_id'))} > "
        f"{cents(_one_fact('total', INVOICE, 'invoice_id') + ' - ' + CREDITED)}",
        OVERPAID,
    ),
    Trigger(
        "rule_allocation_of_one_client",
        ALLOCATION,
        "INSERT",
        f"NOT EXISTS (SELECT 1 FROM {PAYMENT} p JOIN (SELECT id, client_id, currency FROM {INVOICE} "
        "WHERE id = NEW.invoice_id AND kind <> 'credit_note' UNION ALL SELECT id, client_id, currency "
        f"FROM {PAYMENT} WHERE id = NEW.refund_id AND amount < 0) t "
        "ON t.client_id = p.client_id AND t.currency = p.currency WHERE p.id = NEW.payment_id)",
        OF_ONE_CLIENT,
    ),
]
