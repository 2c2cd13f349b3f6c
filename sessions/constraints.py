"""The rules that the database itself keeps, with one meaning on SQLite and on PostgreSQL.

1. No two reservations of the same resource and rank overlap (half-open periods).
2. A revision that a take points to is fixed, and so are its stages, its placement and the panels
   that they were set on, and what was kept of the headphone mixes.
3. A quote or work order that was issued stays as it is, and their numbers have no gap.

SQLite has triggers for all; PostgreSQL has exclusion constraints for the first, which also hold
between transactions that run at the same time, and triggers for the others. Django's own model
constraints can say none of it, so they are put up after every `migrate`.
"""

from dataclasses import dataclass

from django.core.checks import Warning as CheckWarning
from django.db import connections

RESOURCES = ("room", "person", "unit")
RESERVATION = "studio_sessions_reservation"


@dataclass(frozen=True)
class Guard:
    """A trigger: refuse `event` on `table` with `message` where `condition` (plain SQL) holds."""

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


def _panel_is_fixed(row: str) -> str:
    return f"EXISTS (SELECT 1 FROM gear_panel p WHERE p.id = {row}.panel_id AND p.fixed_at IS NOT NULL)"


def _guards_of(table: str, short: str, is_fixed, message: str) -> list[Guard]:
    """Refuse to add, change, move away or delete rows that belong to something fixed."""
    return [
        Guard(f"{short}_fixed_insert", table, "INSERT", is_fixed("NEW"), message),
        Guard(
            f"{short}_fixed_update",
            table,
            "UPDATE",
            f"{is_fixed('OLD')} OR {is_fixed('NEW')}",
            message,
        ),
        Guard(f"{short}_fixed_delete", table, "DELETE", is_fixed("OLD"), message),
    ]


def _guards_of_fixed(table: str, short: str, message: str) -> list[Guard]:
    return [
        Guard(f"{short}_fixed_{event.lower()}", table, event, "OLD.fixed_at IS NOT NULL", message)
        for event in ("UPDATE", "DELETE")
    ]


def _guards_of_rows(table: str, short: str, message: str) -> list[Guard]:
    """Refuse to change or delete any row."""
    return [
        Guard(f"{short}_{event.lower()}", table, event, "1 = 1", message)
        for event in ("UPDATE", "DELETE")
    ]


REVISION_FIXED = "revision_fixed: a take was recorded through it"
TAKE_FIXED = "take_fixed: what a take was recorded through, and heard, stays as it was"
PANEL_FIXED = "panel_fixed: a fixed revision was set on it"

FIXED = [
    *_guards_of("studio_sessions_stage", "stage", _revision_is_fixed, REVISION_FIXED),
    *_guards_of("studio_sessions_placement", "placement", _revision_is_fixed, REVISION_FIXED),
    *_guards_of_fixed("studio_sessions_revision", "revision", REVISION_FIXED),
    *_guards_of("gear_control", "control", _panel_is_fixed, PANEL_FIXED),
    *_guards_of_fixed("gear_panel", "panel", PANEL_FIXED),
    Guard(
        "take_through_open_revision",
        "studio_sessions_takerevision",
        "INSERT",
        f"NOT {_revision_is_fixed('NEW')}",
        "revision_open: fix the revision before a take points to it",
    ),
    *_guards_of_rows("studio_sessions_takerevision", "take_revision", TAKE_FIXED),
    *_guards_of_rows("studio_sessions_keptmixes", "kept_mixes", TAKE_FIXED),
]

PAPER_ISSUED = "money_paper_issued: a paper that was issued stays as it is"
MONEY_PAPER = "studio_sessions_moneypaper"
ISSUED = [
    *_guards_of_rows(MONEY_PAPER, "money_paper_issued", PAPER_ISSUED),
    Guard(
        "money_paper_number_insert",
        MONEY_PAPER,
        "INSERT",
        f"NEW.number <> (SELECT COALESCE(MAX(p.number), 0) + 1 FROM {MONEY_PAPER} p "
        "WHERE p.kind = NEW.kind)",
        "money_paper_number: numbers run on without a gap",
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
    Guard(
        f"reservation_{resource}_overlap_{event.lower()}",
        RESERVATION,
        event,
        _overlap_condition(resource),
        f"reservation_overlap: the {resource} is taken at that rank",
    )
    for resource in RESOURCES
    for event in ("INSERT", "UPDATE")
]


def _exclusion_name(resource: str) -> str:
    return f"reservation_{resource}_overlap"


def _guards_for(vendor: str) -> list[Guard]:
    always = FIXED + ISSUED
    return always + OVERLAPS if vendor == "sqlite" else always


def install(connection) -> None:
    """Put up every guard that is not standing yet."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("CREATE EXTENSION IF NOT EXISTS btree_gist")
            for resource in RESOURCES:
                _install_exclusion(cursor, resource)
        for guard in _guards_for(connection.vendor):
            for statement in _create_statements(guard, connection.vendor):
                cursor.execute(statement)


def remove(connection) -> None:
    """Take down every guard; only for migrations and for emptying a test database."""
    with connection.cursor() as cursor:
        for guard in _guards_for(connection.vendor):
            on_table = f" ON {guard.table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {guard.name}{on_table}")


def standing(connection) -> set[str]:
    """The names of the guards that stand in the database now."""
    if connection.vendor == "sqlite":
        query = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    else:
        query = "SELECT tgname FROM pg_trigger UNION SELECT conname FROM pg_constraint"
    with connection.cursor() as cursor:
        cursor.execute(query)
        return {name for (name,) in cursor.fetchall()}


def expected(vendor: str) -> set[str]:
    """The names of the guards that must stand."""
    names = {guard.name for guard in _guards_for(vendor)}
    if vendor == "postgresql":
        names |= {_exclusion_name(resource) for resource in RESOURCES}
    return names


def _install_exclusion(cursor, resource: str) -> None:
    name = _exclusion_name(resource)
    cursor.execute("SELECT 1 FROM pg_constraint WHERE conname = %s", [name])
    if cursor.fetchone() is None:
        cursor.execute(
            f"ALTER TABLE {RESERVATION} ADD CONSTRAINT {name} EXCLUDE USING gist "
            f"({resource}_id WITH =, rank WITH =, tstzrange(starts_at, ends_at, '[)') WITH &&) "
            f"WHERE ({resource}_id IS NOT NULL AND rank IS NOT NULL)"
        )


def _create_statements(guard: Guard, vendor: str) -> list[str]:
    if vendor == "sqlite":
        return [
            f"CREATE TRIGGER IF NOT EXISTS {guard.name} BEFORE {guard.event} ON {guard.table} "
            f"WHEN {guard.condition} BEGIN SELECT RAISE(ABORT, '{guard.message}'); END"
        ]
    return [
        f"CREATE OR REPLACE FUNCTION {guard.name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF {guard.condition} THEN RAISE EXCEPTION '{guard.message}' USING ERRCODE = '23000'; "
        "END IF; IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW; END $$",
        f"CREATE OR REPLACE TRIGGER {guard.name} BEFORE {guard.event} ON {guard.table} "
        f"FOR EACH ROW EXECUTE FUNCTION {guard.name}()",
    ]


def _tables_exist(connection) -> bool:
    tables = set(connection.introspection.table_names())
    return {guard.table for guard in _guards_for(connection.vendor)} <= tables


def stand_aside(using: str, **_) -> None:
    """Before a migration."""
    if connections[using].vendor == "sqlite":
        remove(connections[using])


def stand_again(using: str, **_) -> None:
    """After a migration; one that unmakes the tables leaves nothing to guard."""
    if _tables_exist(connections[using]):
        install(connections[using])


def check_guards(app_configs=None, databases=None, **_) -> list[CheckWarning]:
    """System check: every rule that the database keeps is really up (`check --database default`).

    A warning and not an error, because `migrate`, which mends it, runs the checks first.
    """
    missing = {
        name
        for using in databases or []
        if _tables_exist(connections[using])
        for name in expected(connections[using].vendor) - standing(connections[using])
    }
    if not missing:
        return []
    return [
        CheckWarning(
            f"The database does not keep these rules: {', '.join(sorted(missing))}.",
            hint="Run `manage.py migrate`.",
            id="studio_sessions.W001",
        )
    ]
