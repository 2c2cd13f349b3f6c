"""The figures, as the reader of the format's own library reads them (OpenMetrics 1.0.0)."""

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse
from django_tasks_db.models import DBTaskResult
from prometheus_client.openmetrics.parser import text_string_to_metric_families

from sessions.bookings.models import RecordingSession, Status
from sessions.letters.models import LetterState
from sessions.tasks.models import SOUND, Worker
from studio.backups.models import Backup
from tests.factories import TEN_O_CLOCK, LetterFactory, RecordingSessionFactory, TakeFactory
from tests.studio.working import tasks

pytestmark = pytest.mark.django_db
TOKEN = "a lantern at the third step"
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def _token(settings):
    settings.METRICS_TOKEN = TOKEN


def ask(client, token=TOKEN, scheme="Bearer"):
    return client.get("/metrics", headers={"Authorization": f"{scheme} {token}"})


def figures(client) -> dict[str, float]:
    """By name and labels, as they are written; the reader refuses what the format does not allow."""
    answer = ask(client)
    assert answer.status_code == 200
    read = {}
    for family in text_string_to_metric_families(answer.text):
        assert family.documentation.endswith(".")
        # A unit is the end of the name (OpenMetrics, “Metric Family”).
        assert not family.unit or family.name.endswith(f"_{family.unit}")
        for sample in family.samples:
            labels = ",".join(sample.labels.values())
            read[f"{sample.name}({labels})" if labels else sample.name] = sample.value
    return read


def test_format_is_as_its_standard_has_it(client):
    answer = ask(client)

    # OpenMetrics 1.0.0, “Overall Structure” and “Protocol Negotiation”.
    assert answer.text.endswith("# EOF\n")
    assert answer["Content-Type"] == "application/openmetrics-text; version=1.0.0; charset=utf-8"
    assert "no-store" in answer["Cache-Control"]


def test_counts_what_there_is_and_says_0_of_what_is_not(client):
    RecordingSessionFactory(status=Status.CONFIRMED)
    TakeFactory.create_batch(2)
    LetterFactory()
    LetterFactory(state=LetterState.FAILED)

    read = figures(client)

    assert read["studio_sessions(confirmed)"] >= 1
    assert read["studio_sessions(cancelled)"] == 0
    assert (
        sum(value for name, value in read.items() if name.startswith("studio_sessions"))
        == RecordingSession.objects.count()
    )
    assert read["studio_takes"] == 2
    assert (read["studio_letters(waiting)"], read["studio_letters(failed)"]) == (1, 1)
    assert read["studio_letters(sent)"] == 0
    assert 0 < read["studio_disk_free_bytes"] <= read["studio_disk_size_bytes"]
    assert read["studio_database_size_bytes"] > 4096


def test_tasks_by_queue_and_state_and_how_long_the_oldest_waits(client):
    with time_machine.travel(TEN_O_CLOCK, tick=False):
        tasks.measured_for_hours.enqueue()
    with time_machine.travel(TEN_O_CLOCK + HOUR, tick=False):
        tasks.measured_for_hours.enqueue()
        DBTaskResult.objects.earliest("enqueued_at").claim("w")
    with time_machine.travel(TEN_O_CLOCK + 2 * HOUR, tick=False):
        Worker.objects.sign("w", SOUND)
        read = figures(client)

    assert (read["studio_tasks(sound,ready)"], read["studio_tasks(sound,running)"]) == (1, 1)
    assert read["studio_oldest_task_age_seconds(sound)"] == 2 * 3600
    assert read["studio_oldest_task_age_seconds(default)"] == 0
    assert (read["studio_workers(sound)"], read["studio_workers(default)"]) == (1, 0)


def test_backup_has_an_age_once_there_is_a_good_one(client, tmp_path):
    good = tmp_path / "a.zip"
    good.write_bytes(b"-" * 123)
    Backup.objects.create(made_at=TEN_O_CLOCK - 3 * HOUR, failure="The disk is full.")
    assert "studio_backup_age_seconds" not in figures(client)

    Backup.objects.create(made_at=TEN_O_CLOCK - 2 * HOUR, file=str(good), size=123)
    Backup.objects.create(made_at=TEN_O_CLOCK - HOUR, failure="The disk is full.")
    with time_machine.travel(TEN_O_CLOCK, tick=False):
        read = figures(client)

    assert read["studio_backup_age_seconds"] == 2 * 3600
    assert read["studio_backup_size_bytes"] == 123
    assert read["studio_backups_failed"] == 1


def test_queries_do_not_grow_with_what_is_counted(client, django_assert_num_queries):
    for _ in range(2):
        RecordingSessionFactory()
        LetterFactory()
        tasks.note.enqueue("again")
        Worker.objects.sign(f"w{DBTaskResult.objects.count()}")
        with django_assert_num_queries(9):
            ask(client)


def test_nobody_reads_them_without_the_token(client, client_of, manager, settings):
    # RFC 6750: 2.1 (the header), 3 (401 and WWW-Authenticate); RFC 9110, 11.1: the scheme in any case.
    assert ask(client, scheme="bearer").status_code == 200
    for refused in (ask(client, "guessed"), ask(client, scheme="Basic"), client.get("/metrics")):
        assert refused.status_code == 401
        assert refused["WWW-Authenticate"].startswith("Bearer ")
        assert "studio_" not in refused.text
    assert client_of(manager).get(reverse("metrics")).status_code == 401

    settings.METRICS_TOKEN = ""
    assert ask(client, "").status_code == 404
