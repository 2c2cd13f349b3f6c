"""Each rule asked of the rows as they stand, for rows that came in while no rule stood (a backup).

A trigger that judges a row by itself is asked as it is, of every row; one that judges a row by those
before it is asked for what must be true of all of them together. A rule that says how a row may change
has nothing to ask of one that stands: `CHANGES` names those, so that a new rule is thought of.
"""

from dataclasses import dataclass

from sessions.constraints.histories import ERASURE_KEPT
from sessions.constraints.installing import triggers
from sessions.constraints.papers import (
    BILLED_ONCE,
    INVOICE,
    INVOICE_LINE,
    INVOICE_NUMBER,
    MONEY_PAPER,
    NO_MORE_THAN_LEFT,
    PAPER_NUMBER,
    credited,
    left,
)
from sessions.constraints.payments import (
    ALLOCATED,
    ALLOCATION,
    OVERPAID,
    PAYMENT,
    UNDONE,
    cents,
)
from sessions.constraints.triggers import ERASURE

SHOWN = 5  # keys of rows that break a rule


@dataclass(frozen=True)
class Question:
    """Rows of `table`, as NEW, for which `condition` (plain SQL) holds break the rule."""

    rule: str  # the name of the trigger, or what such names begin with
    table: str
    condition: str
    message: str


def _asked_as_they_are(*names: str) -> list[Question]:
    return [
        Question(trigger.name, trigger.table, trigger.condition, trigger.message)
        for trigger in triggers("sqlite")
        if trigger.event == "INSERT" and trigger.name.startswith(names)
    ]


def _numbers_run_on(table: str) -> str:
    before = f"SELECT 1 FROM {table} p WHERE p.kind = NEW.kind AND p.number = NEW.number"
    return (
        f"NEW.number < 1 OR (NEW.number > 1 AND NOT EXISTS ({before} - 1)) "
        f"OR EXISTS ({before} AND p.id <> NEW.id)"
    )


def _used(*of: str) -> str:
    """By all that stands for what the row names."""
    where = " AND ".join(f"a.{each} = NEW.{each}" for each in of)
    return cents(f"(SELECT SUM(a.amount) FROM {ALLOCATION} a WHERE {where})")


def _amount(of: str, fact: str, key: str) -> str:
    return cents(f"(SELECT t.{fact} FROM {of} t WHERE t.id = NEW.{key})")


QUESTIONS = [
    *_asked_as_they_are(
        "rule_reservation_",
        "rule_take_through_open_revision",
        "rule_deliverable_through_open_mix_",
        "rule_take_part_of_its_song_",
        "rule_punch_in_",
        "rule_comp_choice_of_its_part_",
        "rule_invoice_whole_",
        "rule_allocation_of_one_client",
    ),
    Question("rule_money_paper_number_", MONEY_PAPER, _numbers_run_on(MONEY_PAPER), PAPER_NUMBER),
    Question("rule_invoice_number_", INVOICE, _numbers_run_on(INVOICE), INVOICE_NUMBER),
    Question(
        "rule_billed_once_",
        INVOICE_LINE,
        f"NEW.money_paper_id IS NOT NULL AND ROUND(NEW.net - {credited('NEW')}, 2) <> 0 "
        f"AND EXISTS (SELECT 1 FROM {INVOICE_LINE} l WHERE l.money_paper_id = NEW.money_paper_id "
        f"AND l.invoice_id <> NEW.invoice_id AND ROUND(l.net - {credited('l')}, 2) <> 0)",
        BILLED_ONCE,
    ),
    Question(
        "rule_no_more_than_left_",
        INVOICE_LINE,
        f"ROUND({left('NEW')}, 2) * NEW.net < 0",
        NO_MORE_THAN_LEFT,
    ),
    Question(
        "rule_allocation_within_payment",
        ALLOCATION,
        f"{_used('payment_id')} > {_amount(PAYMENT, 'amount', 'payment_id')}",
        ALLOCATED,
    ),
    Question(
        "rule_allocation_undone",
        ALLOCATION,
        f"(NEW.invoice_id IS NOT NULL AND {_used('payment_id', 'invoice_id')} < 0) "
        "OR (NEW.refund_id IS NOT NULL AND NEW.amount < 0)",
        UNDONE,
    ),
    # A credit note that came after the money leaves more used than the invoice still asks.
    Question(
        "rule_allocation_within_invoice",
        ALLOCATION,
        f"NEW.invoice_id IS NOT NULL AND {_used('invoice_id')} > "
        f"{_amount(INVOICE, 'total', 'invoice_id')}",
        OVERPAID,
    ),
    Question("rule_erasure_open_insert", ERASURE, "NEW.still_open_id IS NOT NULL", ERASURE_KEPT),
]

#: How names of rules begin or end that say how a row may change.
CHANGES = ("_update", "_delete", "_truncate", "_fixed_insert")


def broken(connection) -> list[str]:
    """A sentence for each rule that rows break, with the keys of some."""
    said = []
    with connection.cursor() as cursor:
        for question in QUESTIONS:
            cursor.execute(
                f"SELECT NEW.id FROM {question.table} NEW WHERE {question.condition} "
                f"ORDER BY NEW.id LIMIT {SHOWN + 1}"
            )
            keys = [str(key) for (key,) in cursor.fetchall()]
            if keys:
                more = ", …" * (len(keys) > SHOWN)
                rows = f"{question.table} {', '.join(keys[:SHOWN])}{more}"
                said.append(f"{question.message} ({rows})")
    return said
