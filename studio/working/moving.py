"""What is stored and finished goes to the bucket, where `FILES_URL` names one."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import connection

from sessions.deliverables.models import DeliverableFile, FileState
from sessions.tasks.models import Worker

PAUSE = 10  # seconds between two looks for something to move
PAUSE_AFTER_FAILURE = 60

logger = logging.getLogger(__name__)


def move_next_part() -> bool:
    """Whether there was one; what is to be measured yet stays here."""
    at_work = DeliverableFile.objects.filter(state__in=[FileState.WAITING, FileState.MEASURING])
    return default_storage.move_next_part(except_for=set(at_work.values_list("file", flat=True)))


@contextmanager
def moving(worker_name: str) -> Iterator[None]:
    """By a thread of its own, so that a slow line holds nothing up; of the worker longest at work.

    It may be cut off at any time: the next worker goes on where it was.
    """
    over = Event()

    def go_on_moving() -> None:
        failing = False
        while not over.is_set():
            pause = PAUSE
            try:
                if Worker.objects.is_first(worker_name) and move_next_part():
                    pause = 0
                failing = False
            except Exception:
                # Said aloud once: the files are safe here, and it is tried again.
                level = logging.WARNING if failing else logging.ERROR
                logger.log(level, "Files could not be moved to the bucket", exc_info=True)
                failing, pause = True, PAUSE_AFTER_FAILURE
            finally:
                connection.close()
            over.wait(pause)

    if settings.BUCKET:
        Thread(target=go_on_moving, daemon=True).start()
    try:
        yield
    finally:
        over.set()
