import os
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from socket import gethostname

from django.db import models
from django.utils import timezone

SIGN_EVERY = timedelta(minutes=1)

# Queues of tasks. Sound takes minutes to hours, papers and letters seconds.
DEFAULT, SOUND, EVERY = "default", "sound", "*"
QUEUES = (DEFAULT, SOUND)


class WorkerQuerySet(models.QuerySet):
    def alive(self, queue: str = EVERY) -> list["Worker"]:
        """Those who do that queue, the longest at work first; one query."""
        workers = self.order_by("pk")
        if queue != EVERY:
            workers = workers.filter(queue__in=(queue, EVERY))
        return [worker for worker in workers if worker.is_alive]

    def is_first(self, name: str) -> bool:
        """Whether this one does what only one may do. It is none that sound keeps busy."""
        return [worker.name for worker in self.alive(DEFAULT)][:1] == [name]

    def sign(self, name: str, queue: str = EVERY) -> None:
        """That the worker of this name, which is this process, is at work."""
        facts = {"host": gethostname(), "pid": os.getpid(), "signed_at": timezone.now()}
        self.update_or_create(name=name, defaults=facts | {"queue": queue})


class Worker(models.Model):
    """A process that works off the request; its row is its sign of life."""

    name = models.CharField(max_length=64, unique=True)
    queue = models.CharField(max_length=32, default=EVERY)
    host = models.CharField(max_length=255)
    pid = models.PositiveIntegerField()
    signed_at = models.DateTimeField()

    objects = WorkerQuerySet.as_manager()

    def __str__(self) -> str:
        return f"Process {self.pid} at {self.host}"

    @property
    def is_alive(self) -> bool:
        """Two signs may be missed. On this machine the process itself is looked for, too: who was
        killed is not waited for. A sign that is still to come was given before the clock was set back."""
        if abs(timezone.now() - self.signed_at) > 2.5 * SIGN_EVERY:
            return False
        return self.host != gethostname() or _is_running(self.pid)


def _is_running(pid: int) -> bool:
    """Nor is one that was killed and that nobody has waited for yet (a zombie, proc(5))."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:  # another account's
        pass
    with suppress(OSError):
        return Path(f"/proc/{pid}/stat").read_text().rpartition(") ")[2][:1] != "Z"
    return True
