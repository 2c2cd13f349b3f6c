"""Alive and ready: asked by machines, without a sign-in, told without figures."""

import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.db.utils import OperationalError
from django.urls import reverse

from sessions import constraints
from sessions.tasks.models import DEFAULT, SOUND, Worker
from studio.watching import readiness

pytestmark = pytest.mark.django_db
ALL_WELL = dict.fromkeys(["database", "migrations", "rules", "worker", "files"], True)


@pytest.fixture
def _at_work():
    for queue in (DEFAULT, SOUND):
        Worker.objects.sign(queue, queue)


@pytest.fixture(autouse=True)
def _migrations_as_they_are(settings):
    """Tests have tables without them."""
    settings.MIGRATION_MODULES = {}
    readiness._last_migrations.cache_clear()
    yield
    readiness._last_migrations.cache_clear()


def asked(client) -> tuple[int, dict]:
    answer = client.get(reverse("ready"))
    said = answer.json()
    assert set(said) == {"ready", "parts"}
    assert said["ready"] == (answer.status_code == 200) == all(said["parts"].values())
    return answer.status_code, said["parts"]


@pytest.mark.parametrize("asks", ["a machine", "a browser that is signed in"])
def test_alive_asks_nothing_of_the_database(
    client, client_of, engineer, asks, django_assert_num_queries
):
    if asks != "a machine":
        client = client_of(engineer)
    with django_assert_num_queries(0):
        answer = client.get("/health/")

    assert (answer.status_code, answer.text) == (200, "alive\n")
    assert "no-store" in answer["Cache-Control"]
    assert not answer.cookies


@pytest.mark.usefixtures("_at_work")
def test_ready_says_yes_to_every_part(client):
    assert asked(client) == (200, ALL_WELL)


def test_without_a_worker_of_each_queue_it_is_not_ready(client):
    assert asked(client) == (503, ALL_WELL | {"worker": False})

    Worker.objects.sign("all else", DEFAULT)
    assert asked(client) == (503, ALL_WELL | {"worker": False})


@pytest.mark.usefixtures("_at_work")
def test_rule_or_migration_that_is_missing_is_not_ready(client):
    last = min(readiness._last_migrations())
    MigrationRecorder(connection).record_unapplied(*last)
    constraints.remove(connection)

    assert asked(client) == (503, ALL_WELL | {"migrations": False, "rules": False})


@pytest.mark.usefixtures("_at_work")
def test_folder_that_is_full_or_shut_is_not_ready(client, settings, tmp_path, monkeypatch):
    monkeypatch.setattr(readiness, "LEAST_FREE", 1 << 62)
    assert asked(client) == (503, ALL_WELL | {"files": False})

    monkeypatch.undo()
    monkeypatch.setattr(readiness.os, "access", lambda path, mode: False)  # root may write anywhere
    assert asked(client) == (503, ALL_WELL | {"files": False})


def test_database_that_is_gone_is_said_and_alive_goes_on(client, monkeypatch):
    def gone():
        raise OperationalError("could not connect")

    monkeypatch.setattr(connection, "cursor", gone)

    status, parts = asked(client)
    assert (status, parts) == (503, dict.fromkeys(ALL_WELL, False) | {"files": True})
    assert client.get("/health/").status_code == 200


def test_machines_within_the_house_need_no_https(client, settings):
    settings.SECURE_SSL_REDIRECT = True

    statuses = {path: client.get(path).status_code for path in ("/health/", "/ready/", "/sign-in/")}

    assert statuses == {"/health/": 200, "/ready/": 503, "/sign-in/": 301}
