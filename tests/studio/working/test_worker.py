"""The worker: what dead ones left is done, and nothing is left behind."""

import pytest
from django.core import mail
from django.db import OperationalError, connection
from django_tasks import TaskResultStatus
from django_tasks_db.management.commands import db_worker
from django_tasks_db.models import DBTaskResult

from sessions.letters.models import Letter, LetterState
from sessions.tasks.models import Worker
from studio.working import worker
from studio.working.worker import StudioWorker, take_up_from_the_dead
from tests.factories import LetterFactory
from tests.studio.working import tasks

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def done():
    tasks.done.clear()
    return tasks.done


def begun_by(name, word="again"):
    tasks.note.enqueue(word)
    result = DBTaskResult.objects.get(status=TaskResultStatus.READY)
    result.claim(name)
    return result


def states():
    return sorted(DBTaskResult.objects.values_list("status", flat=True))


def test_worker_does_what_there_is_and_leaves(done):
    tasks.note.enqueue("first")
    tasks.note.enqueue("second")

    StudioWorker(once=True).run()

    assert done == ["first", "second"]
    assert states() == ["SUCCESSFUL", "SUCCESSFUL"]
    assert not Worker.objects.exists()


def test_worker_that_did_enough_leaves_the_rest_to_the_next(done):
    for word in ("first", "second", "third"):
        tasks.note.enqueue(word)

    StudioWorker(once=True, max_tasks=2).run()
    assert done == ["first", "second"]

    StudioWorker(once=True, max_tasks=2).run()
    assert done == ["first", "second", "third"]


def test_task_that_fails_leaves_its_trace_and_the_next_is_done(done, caplog):
    tasks.fail.enqueue()
    tasks.note.enqueue("after it")

    StudioWorker(once=True).run()

    assert done == ["after it"]
    assert states() == ["FAILED", "SUCCESSFUL"]
    assert "Nothing comes of this." in caplog.text


def test_what_a_dead_worker_began_is_done(done):
    begun_by("died without a sign")

    StudioWorker(once=True).run()

    assert (done, states()) == (["again"], ["SUCCESSFUL"])


def test_what_a_living_worker_does_is_left_to_it(done):
    Worker.objects.sign("at work")
    begun_by("at work")

    StudioWorker(once=True).run()

    assert (done, states()) == ([], ["RUNNING"])


def test_own_task_that_could_not_be_put_on_record_is_done_again():
    Worker.objects.sign("mine")
    begun_by("mine")

    take_up_from_the_dead("mine")

    assert states() == ["READY"]


def test_task_taken_up_meanwhile_by_another_is_left_to_it(monkeypatch):
    result = begun_by("dead")

    class Slow:
        def alive(self):
            result.claim("quicker")
            return []

    monkeypatch.setattr(Worker, "objects", Slow())

    take_up_from_the_dead("mine")

    assert states() == ["RUNNING"]


def test_database_that_fails_for_a_while_does_not_end_the_worker(monkeypatch, done, caplog):
    tasks.note.enqueue("in the end")
    run, pauses = db_worker.Worker.run, []

    def fail_once(self):
        if not pauses:
            raise OperationalError("database is locked")
        run(self)

    at_work = StudioWorker(max_tasks=1)
    monkeypatch.setattr(db_worker.Worker, "run", fail_once)
    monkeypatch.setattr(worker.time, "sleep", pauses.append)

    at_work.run()

    assert (done, pauses) == (["in the end"], [worker.PAUSE])
    assert "database is locked" in caplog.text


@pytest.mark.postgres
def test_connection_that_the_server_ended_is_opened_anew(
    on_postgresql, real_database, monkeypatch, done
):
    tasks.note.enqueue("in the end")
    monkeypatch.delattr(connection, "close")  # as it is where no test runs
    run, ended = db_worker.Worker.run, []

    def end_once(self):
        if not ended:
            ended.append(True)
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_terminate_backend(pg_backend_pid())")
        run(self)

    monkeypatch.setattr(db_worker.Worker, "run", end_once)
    monkeypatch.setattr(worker.time, "sleep", lambda seconds: None)

    StudioWorker(max_tasks=1).run()

    assert (done, ended) == (["in the end"], [True])


def test_task_that_takes_too_long_is_given_up(monkeypatch):
    monkeypatch.setattr(worker, "LONGEST_TASK", 1)
    tasks.hang.enqueue()

    StudioWorker(once=True).run()

    assert states() == ["FAILED"]
    assert "longer than 1 seconds" in DBTaskResult.objects.get().traceback


def test_letters_that_wait_are_sent():
    LetterFactory()

    StudioWorker(once=True).run()

    assert len(mail.outbox) == 1
    assert Letter.objects.get().state == LetterState.SENT
