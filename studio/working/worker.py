"""The worker: django-tasks-db's, and what that one lacks.

A task of a killed worker stayed RUNNING for ever: whoever gives no sign of life has its tasks taken up
by others, so every task must do no harm when it is run twice. A database that doesn't answer ended
the worker: it goes on when the database does.
"""

import logging
import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread
from uuid import uuid4

from django.db import Error, connection
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS, TaskResultStatus
from django_tasks_db.management.commands import db_worker
from django_tasks_db.models import DBTaskResult

from sessions.tasks.models import EVERY, SIGN_EVERY, SOUND, Worker
from studio.working.moving import moving
from studio.working.regular import RegularWork

LONGEST_TASK = 600  # seconds; children that sound is left to have limits of their own
PAUSE = 1  # seconds between two looks for work where there is none

logger = logging.getLogger(__name__)


class StudioWorker(db_worker.Worker):
    """Of one queue, or of all. `once`: what is there, then end. `max_tasks`: end after so many, to be
    started afresh. Who started it must go on: it ends once it is nobody's child any more."""

    def __init__(self, queue: str = EVERY, *, once: bool = False, max_tasks: int | None = None):
        super().__init__(
            queue_names=[queue],
            excluded_queue_names=[],
            interval=PAUSE,
            batch=True,  # we look in between whether something else is due
            backend_name=DEFAULT_TASK_BACKEND_ALIAS,
            startup_delay=False,
            max_tasks=None,
            worker_id=uuid4().hex,
        )
        self.queue, self.once, self.most = queue, once, max_tasks
        self.parent = os.getppid()

    def run(self) -> None:
        with sign_of_life(self.worker_id, self.queue), moving(self.worker_id):
            regular = RegularWork()
            idle = False
            while self._goes_on() and not (self.once and idle):
                try:
                    idle = not self._turn(regular)
                except Error:
                    logger.exception("The database failed: what was begun will be done again")
                    connection.close_if_unusable_or_obsolete()
                    idle = True
                if idle and self.running and not self.once:
                    time.sleep(PAUSE)

    def _goes_on(self) -> bool:
        return self.running and self._run_tasks != self.most and os.getppid() == self.parent

    def _turn(self, regular: RegularWork) -> bool:
        """The regular work that is due, then one task. Whether there was one."""
        self.running_task = True  # so a signal lets all of it come to its end
        take_up_from_the_dead(self.worker_id)
        regular.do_due(self.worker_id)
        before, self.max_tasks = self._run_tasks, self._run_tasks + 1
        super().run()
        return self._run_tasks > before

    def run_task(self, db_task_result: DBTaskResult) -> None:
        signal.signal(signal.SIGALRM, _took_too_long)
        signal.alarm(0 if db_task_result.queue_name == SOUND else LONGEST_TASK)
        try:
            super().run_task(db_task_result)
        finally:
            signal.alarm(0)


def _took_too_long(*_) -> None:
    raise TimeoutError(f"It took longer than {LONGEST_TASK} seconds and was given up.")


def take_up_from_the_dead(own_name: str) -> None:
    """What those began who give no sign of life is to be done again, and what the caller began and
    could not put on record: it must be between two tasks. Those who begin later are alive."""
    running = list(DBTaskResult.objects.running())
    others = {worker.name for worker in Worker.objects.alive()} - {own_name}
    for result in running:
        if result.worker_ids[-1] not in others:
            as_seen = DBTaskResult.objects.running().filter(
                pk=result.pk, started_at=result.started_at
            )
            as_seen.update(status=TaskResultStatus.READY, started_at=None)


@contextmanager
def sign_of_life(name: str, queue: str) -> Iterator[None]:
    """Given each minute by a thread of its own, however long a task takes."""
    over = Event()

    def go_on_signing() -> None:
        while not over.wait(SIGN_EVERY.total_seconds()):
            try:
                Worker.objects.sign(name, queue)
            except Error:
                logger.exception("No sign of life could be given")
            finally:
                connection.close()

    Worker.objects.sign(name, queue)
    Thread(target=go_on_signing, daemon=True).start()
    try:
        yield
    finally:
        over.set()
        Worker.objects.filter(name=name).delete()
