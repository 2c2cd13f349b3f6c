"""Work that is done again and again."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from sessions.tasks.models import Worker
from studio.models import SignedIn
from studio.working.regular import Job, RegularWork
from studio.working.worker import StudioWorker
from tests.factories import TEN_O_CLOCK
from tests.studio.working import tasks

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


@pytest.fixture
def begun():
    return []


def test_job_is_done_when_it_is_due_and_knows_since_when(begun):
    regular = RegularWork((Job(MINUTE, lambda since, now: begun.append((since, now))),))
    with time_machine.travel(TEN_O_CLOCK, tick=False) as clock:
        Worker.objects.sign("w")
        regular.do_due("w")
        clock.shift(MINUTE / 2)
        regular.do_due("w")
        clock.shift(MINUTE / 2)
        regular.do_due("w")

    assert begun == [
        (TEN_O_CLOCK - 2 * MINUTE, TEN_O_CLOCK),
        (TEN_O_CLOCK, TEN_O_CLOCK + MINUTE),
    ]


def test_worker_that_is_longest_at_work_does_it(begun):
    for name in ("first", "second"):
        Worker.objects.sign(name)

    for name in ("second", "first"):
        RegularWork((Job(MINUTE, lambda since, now, name=name: begun.append(name)),)).do_due(name)

    assert begun == ["first"]


def test_job_that_fails_leaves_its_trace_and_the_others_go_on(begun, caplog):
    def fail(since, now):
        raise ValueError("The disk is full.")

    Worker.objects.sign("w")
    RegularWork((Job(MINUTE, fail), Job(MINUTE, lambda since, now: begun.append(now)))).do_due("w")

    assert len(begun) == 1
    assert "The disk is full." in caplog.text


def test_what_is_old_is_tidied_away(caplog):
    tasks.note.enqueue("long ago")
    StudioWorker(once=True).run()
    DBTaskResult.objects.update(finished_at=timezone.now() - timedelta(days=8))
    tasks.note.enqueue("just now")
    SignedIn.objects.create(session_key="old", expire_date=timezone.now() - MINUTE)
    Worker.objects.create(name="dead", pid=1, signed_at=timezone.now() - timedelta(days=2))

    StudioWorker(once=True).run()

    assert DBTaskResult.objects.count() == 1
    assert not SignedIn.objects.exists()
    assert not Worker.objects.exists()
    assert caplog.text == ""
