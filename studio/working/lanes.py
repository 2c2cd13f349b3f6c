"""What a studio runs: a worker or several for each queue, so that nothing waits for a long file, and the
server."""

import sys

from django.conf import settings

from sessions.tasks.models import QUEUES
from studio.working.keeping import Command

MOST = range(1, 65)  # processes of a kind on one machine
GUNICORN = (sys.executable, "-m", "gunicorn", "studio.wsgi")
CONFIG = settings.BASE_DIR / "studio" / "serving" / "gunicorn.conf.py"
WORK = (sys.executable, settings.BASE_DIR / "manage.py", "work")


def workers(each: int, *options: str) -> list[Command]:
    """So many for each queue."""
    return [[*WORK, "--queue", queue, *options] for queue in QUEUES for _ in range(each)]


def server(*, processes: int, bind: str) -> Command:
    return [*GUNICORN, "-c", CONFIG, "--workers", str(processes), "--bind", bind]
