import os
from datetime import timedelta
from socket import gethostname

from django.db import models
from django.utils import timezone

SIGN_EVERY = timedelta(minutes=1)


class WorkerQuerySet(models.QuerySet):
    def alive(self) -> list["Worker"]:
        """The longest at work first; one query."""
        return [worker for worker in self.order_by("pk") if worker.is_alive]

    def sign(self, name: str) -> None:
        """That the worker of this name, which is this process, is at work."""
        facts = {"host": gethostname(), "pid": os.getpid(), "signed_at": timezone.now()}
        self.update_or_create(name=name, defaults=facts)


class Worker(models.Model):
    """A process that works off the request; its row is its sign of life."""

    name = models.CharField(max_length=64, unique=True)
    host = models.CharField(max_length=255)
    pid = models.PositiveIntegerField()
    signed_at = models.DateTimeField()

    objects = WorkerQuerySet.as_manager()

    def __str__(self) -> str:
        return f"Process {self.pid} at {self.host}"

    @property
    def is_alive(self) -> bool:
        """Two signs may be missed. On this machine the process itself is looked for, too: who was
        killed is not waited for."""
        if self.signed_at < timezone.now() - 2.5 * SIGN_EVERY:
            return False
        return self.host != gethostname() or _is_running(self.pid)


def _is_running(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:  # another account's
        pass
    return True
