"""What was issued stays as it is, and numbers have no gap; nothing is billed twice."""

from sessions.constraints.triggers import Trigger, triggers_of_rows

PAPER_ISSUED = "money_paper_issued: a paper that was issued stays as it is"
PAPER_NUMBER = "money_paper_number: numbers run on without a gap"
MONEY_PAPER = "studio_sessions_moneypaper"
ISSUED = [
    *triggers_of_rows(MONEY_PAPER, "money_paper_issued", PAPER_ISSUED),
    Trigger(
        "rule_money_paper_number_insert",
        MONEY_PAPER,
        "INSERT",
        f"NEW.number <> (SELECT COALESCE(MAX(p.number), 0) + 1 FROM {MONEY_PAPER} p "
        "WHERE p.kind = NEW.kind)",
        PAPER_NUMBER,
    ),
]

INVOICE_ISSUED = "invoice_issued: what was issued stays as it is"
INVOICE_NUMBER = "invoice_number: numbers run on without a gap"
INVOICE_WHOLE = "invoice_whole: no line is added to what was issued"
BILLED_ONCE = "billed_once: it is billed already, and not credited"
NO_MORE_THAN_LEFT = "no_more_than_left: more than is left to credit or to deduct"
INVOICE_FACTS = (
    *("id", "kind", "number", "issued_at", "issued_by_id", "dated", "currency", "as_issued"),
    *("tax_rows", "net", "tax", "total", "line_count", "note"),
)
INVOICE, INVOICE_LINE = "studio_sessions_invoice", "studio_sessions_invoiceline"


def credited(line: str) -> str:
    """The sum of what credit notes credit of it."""
    return (
        f"COALESCE((SELECT SUM(c.net) FROM {INVOICE_LINE} c JOIN {INVOICE} n ON n.id = c.invoice_id "
        f"WHERE c.of_line_id = {line}.id AND n.kind = 'credit_note'), 0)"
    )


def left(line: str) -> str:
    """What is left of it; a deposit has what is taken off it added, which is negative, less what of that
    was credited."""
    return (
        f"{line}.net - {credited(line)} + COALESCE((SELECT SUM(t.net - {credited('t')}) "
        f"FROM {INVOICE_LINE} t JOIN {INVOICE} f ON f.id = t.invoice_id "
        f"WHERE t.of_line_id = {line}.id AND f.kind = 'invoice'), 0)"
    )


_LEFT = (
    f"{left('s')} + CASE (SELECT i.kind FROM {INVOICE} i WHERE i.id = NEW.invoice_id) "
    "WHEN 'credit_note' THEN -NEW.net ELSE NEW.net END"
)
INVOICED = [
    Trigger(
        "rule_invoice_issued_update",
        INVOICE,
        "UPDATE",
        # Of two clients that are merged one goes, and what was issued to it is the other’s then.
        "NEW.client_id = OLD.client_id OR COALESCE(NEW.credits_id, 0) <> COALESCE(OLD.credits_id, 0) "
        "OR COALESCE(NEW.due_on, '0001-01-01') <> COALESCE(OLD.due_on, '0001-01-01') OR "
        + " OR ".join(f"NEW.{fact} <> OLD.{fact}" for fact in INVOICE_FACTS),
        INVOICE_ISSUED,
    ),
    Trigger("rule_invoice_issued_delete", INVOICE, "DELETE", "1 = 1", INVOICE_ISSUED),
    *triggers_of_rows(INVOICE_LINE, "invoice_line_issued", INVOICE_ISSUED),
    Trigger(
        "rule_invoice_number_insert",
        INVOICE,
        "INSERT",
        f"NEW.number <> (SELECT COALESCE(MAX(i.number), 0) + 1 FROM {INVOICE} i "
        "WHERE i.kind = NEW.kind)",
        INVOICE_NUMBER,
    ),
    Trigger(
        "rule_invoice_whole_insert",
        INVOICE_LINE,
        "INSERT",
        "NEW.position < 1 OR NEW.position > "
        f"(SELECT i.line_count FROM {INVOICE} i WHERE i.id = NEW.invoice_id)",
        INVOICE_WHOLE,
    ),
    Trigger(
        "rule_billed_once_insert",
        INVOICE_LINE,
        "INSERT",
        f"NEW.money_paper_id IS NOT NULL AND EXISTS (SELECT 1 FROM {INVOICE_LINE} l "
        "WHERE l.money_paper_id = NEW.money_paper_id AND l.invoice_id <> NEW.invoice_id "
        f"AND ROUND(l.net - {credited('l')}, 2) <> 0)",
        BILLED_ONCE,
    ),
    Trigger(
        "rule_no_more_than_left_insert",
        INVOICE_LINE,
        "INSERT",
        f"NEW.of_line_id IS NOT NULL AND EXISTS (SELECT 1 FROM {INVOICE_LINE} s "
        f"WHERE s.id = NEW.of_line_id AND ROUND({_LEFT}, 2) * s.net < 0)",
        NO_MORE_THAN_LEFT,
    ),
]
