import resource

from django.conf import settings
from django.core.checks import Tags
from django.core.management.base import BaseCommand

from sessions.tasks.models import EVERY, QUEUES
from studio.working.keeping import keep
from studio.working.lanes import MOST, workers
from studio.working.worker import StudioWorker

MAX_TASKS = 200
MEMORY = 2**30  # bytes; a task that wants more fails, and the worker goes on


class Command(BaseCommand):
    help = (
        "Do the background work: papers, letters, lapsing holds, tidying up in one process, sound in "
        "another, or in several of each. Runs until it is stopped."
    )

    def add_arguments(self, parser):
        parser.add_argument("--once", action="store_true", help="do what is waiting, then stop")
        parser.add_argument(
            "--queue", choices=QUEUES, help="one of the two queues, in this process"
        )
        parser.add_argument(
            "--workers",
            type=int,
            choices=MOST,
            metavar="N",
            default=settings.WORKERS,
            help="processes for each queue (WORKERS, %(default)s)",
        )
        parser.add_argument(
            "--max-tasks",
            type=int,
            default=MAX_TASKS,
            help="begin with fresh memory after so many tasks (%(default)s)",
        )

    def handle(self, *, once, queue, max_tasks, **options):
        self.check(tags=[Tags.database], databases=["default"])  # as the server does
        if once or queue:
            self._work(queue or EVERY, once, max_tasks)
        else:
            keep(workers(options["workers"], "--max-tasks", str(max_tasks)))

    def _work(self, queue, once, max_tasks):
        resource.setrlimit(resource.RLIMIT_DATA, (MEMORY, MEMORY))
        worker = StudioWorker(queue, once=once, max_tasks=max_tasks)
        worker.configure_signals()
        worker.run()
