"""How the rules come into the database and out of it, and which of them stand there."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.checks import Error
from django.db import connections, transaction

from sessions.constraints.fixed import FIXED
from sessions.constraints.histories import ERASURES, history_triggers, truncations
from sessions.constraints.overlaps import EXCLUSIONS, OVERLAPS, RESERVATION
from sessions.constraints.papers import INVOICED, ISSUED
from sessions.constraints.payments import PAID
from sessions.constraints.signed import SIGNED
from sessions.constraints.takes import TAKES
from sessions.constraints.triggers import Trigger

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
    """Install every rule anew whose table is there, all at once."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        remove(connection)
        tables = connection.introspection.table_names()
        if connection.vendor == "postgresql" and RESERVATION in tables:
            cursor.execute("CREATE EXTENSION IF NOT EXISTS btree_gist")
            for name, resource in EXCLUSIONS.items():
                cursor.execute(
                    f"ALTER TABLE {RESERVATION} ADD CONSTRAINT {name} EXCLUDE USING gist "
                    f"({resource} WITH =, rank WITH =, tstzrange(starts_at, ends_at, '[)') WITH &&) "
                    f"WHERE ({resource} IS NOT NULL AND rank IS NOT NULL)"
                )
        for trigger in triggers(connection.vendor):
            if trigger.table in tables:
                for statement in _create_statements(trigger, connection.vendor):
                    cursor.execute(statement)


def remove(connection) -> None:
    """Remove every rule, whichever version installed it."""
    with connection.cursor() as cursor:
        cursor.execute(REMOVING[connection.vendor])
        for (statement,) in cursor.fetchall():
            cursor.execute(statement)


@contextmanager
def aside(connection) -> Iterator[None]:
    """All rules are away, in one transaction at whose end they stand again: for rows that come back
    in any order, of which each rule is asked before it ends. Others wait for the end of it."""
    with transaction.atomic(using=connection.alias):
        _settle(connection)
        remove(connection)
        yield
        _settle(connection)
        install(connection)


def _settle(connection) -> None:
    """PostgreSQL alters no table with keys that are still to be checked."""
    if connection.vendor == "postgresql":
        connection.check_constraints()


def missing(connection) -> set[str]:
    """The names of the rules that the database does not keep now."""
    expected = {trigger.name for trigger in triggers(connection.vendor)}
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


def triggers(vendor: str) -> list[Trigger]:
    always = FIXED + TAKES + ISSUED + INVOICED + SIGNED + PAID + ERASURES + history_triggers()
    return always + (OVERLAPS if vendor == "sqlite" else truncations())


def _create_statements(trigger: Trigger, vendor: str) -> list[str]:
    if vendor == "sqlite":
        return [
            f"CREATE TRIGGER {trigger.name} BEFORE {trigger.event} ON {trigger.table} "
            f"WHEN {trigger.condition} BEGIN SELECT RAISE(ABORT, '{trigger.message}'); END"
        ]
    each = "STATEMENT" if trigger.event == "TRUNCATE" else "ROW"
    return [
        f"CREATE FUNCTION {trigger.name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF {trigger.condition} THEN RAISE EXCEPTION '{trigger.message}' USING ERRCODE = '23000'; "
        "END IF; IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW; END $$",
        f"CREATE TRIGGER {trigger.name} BEFORE {trigger.event} ON {trigger.table} "
        f"FOR EACH {each} EXECUTE FUNCTION {trigger.name}()",
    ]
