"""The people of Quay Steps, and what a test may stand on."""

import os

import pytest
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client, override_settings
from hypothesis import HealthCheck, settings
from pytest_django.plugin import blocking_manager_key

from sessions import constraints
from sessions.editing.presses import FIELD, new_number
from studio.roles import Role
from tests.factories import PersonFactory, ProjectFactory, UserFactory

# No test fails because the machine is busy.
settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")

REQUIRE_ALL = os.environ.get("STUDIO_REQUIRE_ALL_TESTS") == "1"


def skip_or_fail(reason: str) -> None:
    """Skip, saying why; where all tests are demanded (`.ci/run`) a missing part is a failure."""
    if REQUIRE_ALL:
        pytest.fail(f"demanded here, but {reason}", pytrace=False)
    pytest.skip(reason)


#: Here the database is only what a page, a paper or a measurement is filled from.
ONE_ENGINE = (
    "tests/gear/panels/",
    "tests/gear/patchbay/",
    "tests/measure/",
    "tests/served/",
    "tests/sessions/bounds/",
    "tests/sessions/deliverables/listening/",
    "tests/sessions/deliverables/test_measuring",
    "tests/sessions/desk/booking/",
    "tests/sessions/desk/calendar_import/",
    "tests/sessions/desk/schedule/",
    "tests/sessions/desk/series_pages/",
    "tests/sessions/desk/session_pages/",
    "tests/sessions/desk/today/",
    "tests/sessions/letters/test_mime.py",
    "tests/sessions/money/invoices/test_pages.py",
    "tests/sessions/money/test_papers.py",
    "tests/sessions/money/test_quotes.py",
    "tests/sessions/papers/stored/test_noticed.py",
    "tests/sessions/papers/test_",
    "tests/sessions/recall/blind/",
    "tests/sessions/recall/finding/test_memories.py",
    "tests/sessions/recall/imported/test_hostile",
    "tests/sessions/recall/imported/test_shown.py",
    "tests/sessions/recall/imported/test_versions.py",
    "tests/sessions/recall/rebuilds/test_all_pairs.py",
    "tests/sessions/recall/rebuilds/test_beyond.py",
    "tests/sessions/recall/rebuilds/test_pages.py",
    "tests/sessions/recall/rebuilds/test_phantom.py",
    "tests/sessions/recall/sheet/",
    "tests/sessions/recall/test_",
    "tests/sessions/reports/",
    "tests/sessions/setups/chains/test_phantom.py",
    "tests/sessions/setups/editor/",
    "tests/sessions/setups/input_list/test_views.py",
    "tests/sessions/setups/levels/",
    "tests/sessions/setups/patching/test_patch_list.py",
    "tests/sessions/setups/photos/",
    "tests/sessions/setups/warnings/",
    "tests/sessions/takes/files/test_matching.py",
    "tests/sessions/takes/sheets/",
    "tests/studio/backups/test_actions.py",
    "tests/studio/backups/test_fitting.py",
    "tests/studio/backups/test_keeping.py",
    "tests/studio/backups/test_page.py",
    "tests/studio/erasing/test_command",
    "tests/studio/changes/test_kinds.py",
    "tests/studio/changes/test_views.py",
    "tests/studio/first_steps/",
    "tests/studio/signing_in/test_limits.py",
    "tests/studio/signing_in/test_signed_in.py",
    "tests/studio/test_access",
    "tests/studio/test_caches.py",
    "tests/studio/test_bar.py",
    "tests/studio/test_empty_studio.py",
    "tests/studio/test_fuzz.py",
    "tests/studio/test_presses.py",
    "tests/studio/test_storage.py",
    "tests/studio/test_tables.py",
)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Mark what touches the database, so that the second engine need not repeat the rest."""
    for item in items:
        if item.nodeid.startswith(ONE_ENGINE):
            continue
        fixtures = {"db", "transactional_db"} & set(item.fixturenames)
        if fixtures or item.get_closest_marker("django_db"):
            item.add_marker(pytest.mark.database)


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """The tables are made from the models (--no-migrations), which takes a quarter of the time;
    what the migrations make is noted as made, for those who upgrade a copy."""
    with django_db_blocker.unblock(), override_settings(MIGRATION_MODULES={}):
        recorder = MigrationRecorder(connection)
        recorder.ensure_schema()
        for migration in MigrationLoader(None).disk_migrations:
            recorder.record_applied(*migration)
        connection.features.supports_json_field  # noqa: B018, asked of SQLite once: no test counts it


@pytest.fixture(autouse=True)
def _files_in_a_folder_of_their_own(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"


@pytest.fixture
def manager(db):
    return UserFactory(username="odile", first_name="Odile", last_name="Marrack", role=Role.MANAGER)


@pytest.fixture
def engineer(db):
    return UserFactory(
        username="ulric", first_name="Ulric", last_name="Yarrell", role=Role.ENGINEER
    )


@pytest.fixture
def assistant(db):
    return UserFactory(username="piran", first_name="Piran", last_name="Tolle", role=Role.ASSISTANT)


@pytest.fixture
def mix_engineer(db):
    """Sees a project only once it names them: `mixed_project`."""
    user = UserFactory(
        username="kerensa", first_name="Kerensa", last_name="Graith", role=Role.MIX_ENGINEER
    )
    PersonFactory(name="Kerensa Graith", user=user)
    return user


@pytest.fixture
def mixed_project(mix_engineer):
    project = ProjectFactory()
    project.mix_engineers.add(mix_engineer.person)
    return project


class PressingClient(Client):
    """Sends forms as pages do, with a number that is new each time unless the test gives one."""

    def post(self, path, data=None, *args, **more):
        if data is None or isinstance(data, dict):
            data = {FIELD: new_number(), **(data or {})}
        return super().post(path, data, *args, **more)


@pytest.fixture
def client():
    return PressingClient()


@pytest.fixture
def client_of(client):
    """`client_of(manager)` is a web client on which that person has signed in."""

    def sign_in(user):
        if client.cookies:
            client.logout()  # a sign-in of its own each time, with its own limits
        client.force_login(user, backend="studio.backends.RoleBackend")
        return client

    return sign_in


@pytest.fixture
def real_database(transactional_db):
    """Real commits, for threads and browsers. The rules are removed while the rows are emptied
    (Django deletes them table by table) and installed again after that."""
    yield
    constraints.remove(connection)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown(item):
    """Whatever fixture asks first for the database, its rows are emptied by then; a test that can't
    be cleared away is the only one that fails for it."""
    try:
        return (yield)
    finally:
        if "real_database" in item.fixturenames:
            with item.config.stash[blocking_manager_key].unblock():
                constraints.install(connection)


@pytest.fixture
def on_postgresql(db):
    if connection.vendor != "postgresql":
        skip_or_fail("the database is not PostgreSQL: set DATABASE_URL")
