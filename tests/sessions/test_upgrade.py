"""Upgrades of a real database, each command in a process of its own, as a person types it."""

import os
import shutil
import subprocess
import sys

import pytest
from django.db import connection

from sessions import constraints
from tests.factories import UserFactory
from tests.shared_database import ROOT, SharedDatabase

FAILING_MIGRATION = """
from django.db import migrations, models

def fail(apps, schema_editor):
    raise RuntimeError("this upgrade fails midway")

class Migration(migrations.Migration):
    dependencies = [("studio_sessions", "{last}")]
    operations = [
        migrations.AlterField("reservation", "rank", models.PositiveIntegerField(null=True)),
        migrations.RunPython(fail),
    ]
"""


@pytest.fixture
def database(real_database, tmp_path):
    UserFactory(username="somebody")
    return SharedDatabase(tmp_path)


@pytest.fixture
def run(database, tmp_path):
    """`run("manage.py", "migrate")`: all that it said; it must end with `status`."""

    def run(*arguments, settings="studio.settings", status=0):
        ended = subprocess.run(
            [sys.executable, *arguments],
            cwd=ROOT,
            env=os.environ
            | {
                "DATA_DIR": str(tmp_path),
                "DATABASE_URL": database.url,
                "DJANGO_SETTINGS_MODULE": settings,
                "PYTHONPATH": f"{tmp_path}{os.pathsep}{ROOT}",
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        assert ended.returncode == status, ended.stdout
        return ended.stdout

    return run


@pytest.fixture
def failing_upgrade(tmp_path):
    """The settings of a version whose next migration remakes a table and then raises."""
    migrations = tmp_path / "next_migrations"
    shutil.copytree(ROOT / "sessions" / "migrations", migrations)
    last = max(migrations.glob("0*.py")).stem
    (migrations / "9999_fails.py").write_text(FAILING_MIGRATION.format(last=last))
    (tmp_path / "next_settings.py").write_text(
        "from studio.settings import *\nMIGRATION_MODULES = {'studio_sessions': 'next_migrations'}\n"
    )
    return "next_settings"


def standing(database):
    return sorted(database.ask(constraints.STANDING[connection.vendor]))


def remove(database, name):
    on_table = " ON studio_sessions_stage" if connection.vendor == "postgresql" else ""
    database.ask(f"DROP TRIGGER {name}{on_table}")


def add_an_older_trigger(database):
    """As an older version may have left it: ours by its name, unknown to this version."""
    if connection.vendor == "postgresql":
        database.ask("CREATE FUNCTION rule_older() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN END'")
    body = (
        "EXECUTE FUNCTION rule_older()"
        if connection.vendor == "postgresql"
        else "BEGIN SELECT 1; END"
    )
    database.ask(
        f"CREATE TRIGGER rule_older BEFORE DELETE ON studio_sessions_room FOR EACH ROW {body}"
    )


def test_every_rule_stands_after_an_upgrade_that_fails_midway(run, database, failing_upgrade):
    before = standing(database)

    said = run("manage.py", "migrate", settings=failing_upgrade, status=1)

    assert "this upgrade fails midway" in said
    assert standing(database) == before
    run("manage.py", "check", "--database", "default", settings=failing_upgrade)


def test_database_without_a_rule_is_not_served_until_migrate_mends_it(run, database):
    remove(database, "rule_stage_fixed_update")

    checked = run("manage.py", "check", "--database", "default", status=1)
    served = run("-c", "import studio.wsgi", status=1)

    assert "does not keep these rules: rule_stage_fixed_update." in checked
    assert "does not keep these rules: rule_stage_fixed_update." in served
    run("manage.py", "migrate")
    run("manage.py", "check", "--database", "default")
    run("-c", "import studio.wsgi")


def test_migrate_removes_the_rules_of_older_versions(run, database):
    before = standing(database)
    add_an_older_trigger(database)

    run("manage.py", "migrate")

    assert standing(database) == before


def test_migrate_that_only_looks_touches_no_rule(run, database):
    remove(database, "rule_stage_fixed_update")
    before = standing(database)

    run("manage.py", "migrate", "--plan")

    assert standing(database) == before


@pytest.fixture
def from_before(database):
    """A database that the migrations before the first release made, by what it says of itself."""
    database.ask(
        "INSERT INTO django_migrations (app, name, applied) "
        "VALUES ('studio_sessions', '0001_initial', '2026-01-01 00:00:00+00:00')"
    )
    yield database
    database.ask(
        "DELETE FROM django_migrations WHERE name = '0001_initial' AND app = 'studio_sessions'"
    )


def test_database_from_before_the_first_release_is_refused_in_words(run, from_before):
    rules = standing(from_before)

    for command in (["migrate"], ["demo", "--no-serve"]):
        said = run("manage.py", *command, status=1)

        assert "made before the first release (0.1)" in said
        assert "name another one (DATA_DIR, or DATABASE_URL on PostgreSQL)" in said

    assert standing(from_before) == rules
