"""The rules that the database itself keeps, with one meaning on SQLite and on PostgreSQL.

1. No two reservations of the same resource and rank overlap (half-open periods).
2. A revision that a take points to is fixed, and so are its stages, its placement and the panels
   that they were set on, its photographs, and what was kept of the headphone mixes. So is a mix
   revision that a deliverable points to, with its strips, inserts and sends.
3. The parts of a take are of its song; a punch-in goes into an earlier whole take of its song; a
   comp takes from takes of its part.
4. A quote or work order that was issued stays as it is, and their numbers have no gap.
5. An invoice, deposit invoice or credit note that was issued stays as it is, and so do its lines;
   their numbers have no gap; a paper is billed once, and no more is credited than is left.
6. A signature stays as it was given, with the words that were signed; so does approved overtime,
   which can only be voided, and that a work order was signed.
7. What was received and what it was used for stays as it was entered; nothing is used twice, and
   nothing for more than an invoice asks.

SQLite has triggers for all; PostgreSQL has exclusion constraints for the first, which also hold
between transactions that run at the same time, and triggers for the others. Django's own model
constraints can say none of it, so our `migrate` removes and installs them. All names begin with
`rule_`, by which it finds those of an older version too.
"""

from dataclasses import dataclass

from django.core.checks import Error
from django.db import connections

RESOURCES = ("room", "person", "unit")
RESERVATION = "studio_sessions_reservation"


@dataclass(frozen=True)
class Trigger:
    """Refuse `event` on `table` with `message` where `condition` (plain SQL) holds."""

    name: str
    table: str
    event: str
    condition: str
    message: str


def _revision_is_fixed(row: str) -> str:
    return (
        f"EXISTS (SELECT 1 FROM studio_sessions_revision r "
        f"WHERE r.id = {row}.revision_id AND r.fixed_at IS NOT NULL)"
    )


def _mix_is_fixed(row: str) -> str:
    return (
        f"EXISTS (SELECT 1 FROM studio_sessions_mixrevision r "
        f"WHERE r.id = {row}.revision_id AND r.fixed_at IS NOT NULL)"
    )


def _mix_of_strip_is_fixed(row: str) -> str:
    return (
        "EXISTS (SELECT 1 FROM studio_sessions_mixrevision r JOIN studio_sessions_mixstrip s "
        f"ON s.revision_id = r.id WHERE s.id = {row}.strip_id AND r.fixed_at IS NOT NULL)"
    )


def _panel_is_fixed(row: str) -> str:
    return f"EXISTS (SELECT 1 FROM gear_panel p WHERE p.id = {row}.panel_id AND p.fixed_at IS NOT NULL)"


def _triggers_of(table: str, short: str, is_fixed, message: str) -> list[Trigger]:
    """Refuse to add, change, move away or delete rows that belong to something fixed."""
    return [
        Trigger(f"rule_{short}_fixed_insert", table, "INSERT", is_fixed("NEW"), message),
        Trigger(
            f"rule_{short}_fixed_update",
            table,
            "UPDATE",
            f"{is_fixed('OLD')} OR {is_fixed('NEW')}",
            message,
        ),
        Trigger(f"rule_{short}_fixed_delete", table, "DELETE", is_fixed("OLD"), message),
    ]


def _triggers_of_fixed(table: str, short: str, message: str) -> list[Trigger]:
    return [
        Trigger(
            f"rule_{short}_fixed_{event.lower()}", table, event, "OLD.fixed_at IS NOT NULL", message
        )
        for event in ("UPDATE", "DELETE")
    ]


def _triggers_of_rows(table: str, short: str, message: str) -> list[Trigger]:
    """Refuse to change or delete any row."""
    return [
        Trigger(f"rule_{short}_{event.lower()}", table, event, "1 = 1", message)
        for event in ("UPDATE", "DELETE")
    ]


def _photo_is_kept(row: str) -> str:
    """Of a chain by its revision, of a whole setup by any of it."""
    return (
        f"({_revision_is_fixed(row)} OR ({row}.revision_id IS NULL AND EXISTS (SELECT 1 "
        "FROM studio_sessions_revision r JOIN studio_sessions_chain c ON c.id = r.chain_id "
        f"WHERE c.setup_id = {row}.setup_id AND r.fixed_at IS NOT NULL)))"
    )


MIX_FIXED = "mix_fixed: a deliverable was printed through it"
MIX_OPEN = "mix_open: fix the mix revision before a deliverable points to it"
REVISION_FIXED = "revision_fixed: a take was recorded through it"
REVISION_OPEN = "revision_open: fix the revision before a take points to it"
TAKE_FIXED = "take_fixed: what a take was recorded through, and heard, stays as it was"
PHOTO_KEPT = "photo_kept: takes were recorded through what it shows"
PHOTO_MOVED = "photo_moved: a photograph stays one of what it was taken of"
PHOTO = "studio_sessions_photo"
PANEL_FIXED = "panel_fixed: a fixed revision was set on it"

FIXED = [
    *_triggers_of("studio_sessions_stage", "stage", _revision_is_fixed, REVISION_FIXED),
    *_triggers_of("studio_sessions_placement", "placement", _revision_is_fixed, REVISION_FIXED),
    *_triggers_of_fixed("studio_sessions_revision", "revision", REVISION_FIXED),
    Trigger("rule_photo_kept_delete", PHOTO, "DELETE", _photo_is_kept("OLD"), PHOTO_KEPT),
    Trigger(
        "rule_photo_moved_update",
        PHOTO,
        "UPDATE",
        "NEW.sha256 <> OLD.sha256 OR NEW.setup_id <> OLD.setup_id OR NEW.about <> OLD.about "
        "OR COALESCE(NEW.revision_id, 0) <> COALESCE(OLD.revision_id, 0)",
        PHOTO_MOVED,
    ),
    *_triggers_of("gear_control", "control", _panel_is_fixed, PANEL_FIXED),
    *_triggers_of_fixed("gear_panel", "panel", PANEL_FIXED),
    Trigger(
        "rule_take_through_open_revision",
        "studio_sessions_takerevision",
        "INSERT",
        f"NOT {_revision_is_fixed('NEW')}",
        REVISION_OPEN,
    ),
    *_triggers_of_rows("studio_sessions_takerevision", "take_revision", TAKE_FIXED),
    *_triggers_of_rows("studio_sessions_mixsnapshot", "mix_snapshot", TAKE_FIXED),
    *_triggers_of_fixed("studio_sessions_mixrevision", "mix_revision", MIX_FIXED),
    *_triggers_of("studio_sessions_mixstrip", "mix_strip", _mix_is_fixed, MIX_FIXED),
    *_triggers_of("studio_sessions_mixinsert", "mix_insert", _mix_of_strip_is_fixed, MIX_FIXED),
    *_triggers_of("studio_sessions_mixsend", "mix_send", _mix_of_strip_is_fixed, MIX_FIXED),
    *[
        Trigger(
            f"rule_deliverable_through_open_mix_{event.lower()}",
            "studio_sessions_deliverable",
            event,
            "NEW.mix_revision_id IS NOT NULL AND NOT EXISTS (SELECT 1 "
            "FROM studio_sessions_mixrevision r "
            "WHERE r.id = NEW.mix_revision_id AND r.fixed_at IS NOT NULL)",
            MIX_OPEN,
        )
        for event in ("INSERT", "UPDATE")
    ],
]

TAKE = "studio_sessions_take"
TAKE_OF_SONG = "take_of_one_song: a take, its parts and the take that it goes into are of one song"
PUNCHED = "punch_in: it goes into an earlier whole take of its song"
COMP = "comp: it takes from takes of its part"
TAKES = [
    trigger
    for event in ("INSERT", "UPDATE")
    for trigger in (
        Trigger(
            f"rule_take_part_of_its_song_{event.lower()}",
            "studio_sessions_takepart",
            event,
            f"NOT EXISTS (SELECT 1 FROM {TAKE} t JOIN studio_sessions_part p "
            "ON p.song_id = t.song_id WHERE t.id = NEW.take_id AND p.id = NEW.part_id)",
            TAKE_OF_SONG,
        ),
        Trigger(
            f"rule_punch_in_{event.lower()}",
            TAKE,
            event,
            f"NEW.into_id IS NOT NULL AND (NOT EXISTS (SELECT 1 FROM {TAKE} t "
            "WHERE t.id = NEW.into_id AND t.song_id = NEW.song_id AND t.number < NEW.number "
            f"AND t.into_id IS NULL) OR EXISTS (SELECT 1 FROM {TAKE} t WHERE t.into_id = NEW.id))",
            PUNCHED,
        ),
        Trigger(
            f"rule_comp_choice_of_its_part_{event.lower()}",
            "studio_sessions_compchoice",
            event,
            "NOT EXISTS (SELECT 1 FROM studio_sessions_takepart p "
            "WHERE p.take_id = NEW.take_id AND p.part_id = NEW.part_id)",
            COMP,
        ),
    )
]

PAPER_ISSUED = "money_paper_issued: a paper that was issued stays as it is"
PAPER_NUMBER = "money_paper_number: numbers run on without a gap"
MONEY_PAPER = "studio_sessions_moneypaper"
ISSUED = [
    *_triggers_of_rows(MONEY_PAPER, "money_paper_issued", PAPER_ISSUED),
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


def _credited(line: str) -> str:
    """The sum of what credit notes credit of it."""
    return (
        f"COALESCE((SELECT SUM(c.net) FROM {INVOICE_LINE} c JOIN {INVOICE} n ON n.id = c.invoice_id "
        f"WHERE c.of_line_id = {line}.id AND n.kind = 'credit_note'), 0)"
    )


# Of the source of a new line, what is left with it; a deposit has what is taken off it added, which is
# negative, less what of that was credited.
_LEFT = (
    f"s.net - {_credited('s')} + COALESCE((SELECT SUM(t.net - {_credited('t')}) "
    f"FROM {INVOICE_LINE} t JOIN {INVOICE} f ON f.id = t.invoice_id "
    "WHERE t.of_line_id = s.id AND f.kind = 'invoice'), 0) "
    f"+ CASE (SELECT i.kind FROM {INVOICE} i WHERE i.id = NEW.invoice_id) "
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
    *_triggers_of_rows(INVOICE_LINE, "invoice_line_issued", INVOICE_ISSUED),
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
        f"AND ROUND(l.net - {_credited('l')}, 2) <> 0)",
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

SIGNATURE_KEPT = "signature_kept: what was signed stays as it was signed"
OVERTIME = "studio_sessions_overtime"
OVERTIME_KEPT = "overtime_kept: what was approved stays as it was approved, and is voided once"
OVERTIME_FACTS = ("session_id", "starts_at", "ends_at", "signature_id", "currency")
SIGNED = [
    *_triggers_of_rows("studio_sessions_signature", "signature_kept", SIGNATURE_KEPT),
    *_triggers_of_rows("studio_sessions_ordersignature", "order_signature_kept", SIGNATURE_KEPT),
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


def _cents(amount: str) -> str:
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
    *_triggers_of_rows(ALLOCATION, "allocation_kept", ALLOCATION_KEPT),
    Trigger(
        "rule_allocation_within_payment",
        ALLOCATION,
        "INSERT",
        f"{_cents(_used('payment_id'))} > {_cents(_one_fact('amount', PAYMENT, 'payment_id'))}",
        ALLOCATED,
    ),
    Trigger(
        "rule_allocation_undone",
        ALLOCATION,
        "INSERT",
        f"NEW.invoice_id IS NOT NULL AND {_cents(_used('payment_id invoice_id'))} < 0 "
        "OR NEW.refund_id IS NOT NULL AND NEW.amount < 0",
        UNDONE,
    ),
    Trigger(
        "rule_allocation_within_invoice",
        ALLOCATION,
        "INSERT",
        f"NEW.invoice_id IS NOT NULL AND NEW.amount > 0 AND {_cents(_used('invoice_id'))} > "
        f"{_cents(_one_fact('total', INVOICE, 'invoice_id') + ' - ' + CREDITED)}",
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


def _overlap_condition(resource: str) -> str:
    """What begins within the new period, or the last that began before it and runs into it.

    Those that stand already do not overlap each other, so no earlier one can reach that far: the
    search stays on a short stretch of the index, however many years of sessions lie before.
    """
    line = (
        f"SELECT other.ends_at FROM {RESERVATION} other "
        f"WHERE other.{resource}_id = NEW.{resource}_id AND other.rank = NEW.rank "
        "AND other.id <> COALESCE(NEW.id, -1)"
    )
    return (
        f"NEW.{resource}_id IS NOT NULL AND NEW.rank IS NOT NULL AND ("
        f"EXISTS ({line} AND other.starts_at >= NEW.starts_at AND other.starts_at < NEW.ends_at) "
        f"OR NEW.starts_at < ({line} AND other.starts_at < NEW.starts_at "
        "ORDER BY other.starts_at DESC LIMIT 1))"
    )


OVERLAPS = [
    Trigger(
        f"rule_reservation_{resource}_overlap_{event.lower()}",
        RESERVATION,
        event,
        _overlap_condition(resource),
        f"reservation_overlap: the {resource} is taken at that rank",
    )
    for resource in RESOURCES
    for event in ("INSERT", "UPDATE")
]


EXCLUSIONS = {f"rule_reservation_{resource}_overlap": f"{resource}_id" for resource in RESOURCES}

STANDING = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND name GLOB 'rule_*'",
    "postgresql": "SELECT tgname FROM pg_trigger "
    "WHERE starts_with(tgname, 'rule_') AND tgenabled <> 'D' "
    "UNION SELECT conname FROM pg_constraint WHERE starts_with(conname, 'rule_')",
}
# What removes them: the statements, as the database puts them together.
REMOVING = {
    "sqlite": f"SELECT 'DROP TRIGGER ' || name FROM ({STANDING['sqlite']})",
    "postgresql": "SELECT 'DROP FUNCTION ' || oid::regprocedure || ' CASCADE' FROM pg_proc "
    "WHERE starts_with(proname, 'rule_') "
    "UNION ALL SELECT 'ALTER TABLE ' || conrelid::regclass || ' DROP CONSTRAINT ' || conname "
    "FROM pg_constraint WHERE starts_with(conname, 'rule_')",
}


def install(connection) -> None:
    """Install every rule anew whose table is there."""
    remove(connection)
    tables = connection.introspection.table_names()
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql" and RESERVATION in tables:
            cursor.execute("CREATE EXTENSION IF NOT EXISTS btree_gist")
            for name, resource in EXCLUSIONS.items():
                cursor.execute(
                    f"ALTER TABLE {RESERVATION} ADD CONSTRAINT {name} EXCLUDE USING gist "
                    f"({resource} WITH =, rank WITH =, tstzrange(starts_at, ends_at, '[)') WITH &&) "
                    f"WHERE ({resource} IS NOT NULL AND rank IS NOT NULL)"
                )
        for trigger in _triggers(connection.vendor):
            if trigger.table in tables:
                for statement in _create_statements(trigger, connection.vendor):
                    cursor.execute(statement)


def remove(connection) -> None:
    """Remove every rule, whichever version installed it."""
    with connection.cursor() as cursor:
        cursor.execute(REMOVING[connection.vendor])
        for (statement,) in cursor.fetchall():
            cursor.execute(statement)


def missing(connection) -> set[str]:
    """The names of the rules that the database does not keep now."""
    expected = {trigger.name for trigger in _triggers(connection.vendor)}
    if connection.vendor == "postgresql":
        expected |= set(EXCLUSIONS)
    with connection.cursor() as cursor:
        cursor.execute(STANDING[connection.vendor])
        return expected - {name for (name,) in cursor.fetchall()}


def check(app_configs=None, databases=None, **_) -> list[Error]:
    """System check: the database keeps every rule (`check --database default`)."""
    return [
        Error(
            f"The database does not keep these rules: {', '.join(sorted(names))}.",
            hint="Stop the server and run `manage.py migrate`.",
            id="studio_sessions.E001",
        )
        for using in databases or []
        if (names := missing(connections[using]))
    ]


def _triggers(vendor: str) -> list[Trigger]:
    always = FIXED + TAKES + ISSUED + INVOICED + SIGNED + PAID
    return always + OVERLAPS if vendor == "sqlite" else always


def _create_statements(trigger: Trigger, vendor: str) -> list[str]:
    if vendor == "sqlite":
        return [
            f"CREATE TRIGGER {trigger.name} BEFORE {trigger.event} ON {trigger.table} "
            f"WHEN {trigger.condition} BEGIN SELECT RAISE(ABORT, '{trigger.message}'); END"
        ]
    return [
        f"CREATE FUNCTION {trigger.name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF {trigger.condition} THEN RAISE EXCEPTION '{trigger.message}' USING ERRCODE = '23000'; "
        "END IF; IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW; END $$",
        f"CREATE TRIGGER {trigger.name} BEFORE {trigger.event} ON {trigger.table} "
        f"FOR EACH ROW EXECUTE FUNCTION {trigger.name}()",
    ]
