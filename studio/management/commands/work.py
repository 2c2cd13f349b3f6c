import resource

from django.core.checks import Tags
from django.core.management.base import BaseCommand

from studio.working.worker import StudioWorker

MAX_TASKS = 200
MEMORY = 2**30  # bytes; a task that wants more fails, and the worker goes on


class Command(BaseCommand):
    help = (
        "Do the background work: papers, letters, lapsing holds, tidying up. Runs until "
        "it is stopped or has done so many tasks; the service that starts it starts it "
        "again."
    )

    def add_arguments(self, parser):
        parser.add_argument("--once", action="store_true", help="do what is waiting, then stop")
        parser.add_argument(
            "--max-tasks",
            type=int,
            default=MAX_TASKS,
            help=("stop after so many tasks, to be started again with fresh memory (%(default)s)"),
        )

    def handle(self, *, once, max_tasks, **options):
        self.check(tags=[Tags.database], databases=["default"])  # as the server does
        resource.setrlimit(resource.RLIMIT_DATA, (MEMORY, MEMORY))
        worker = StudioWorker(once=once, max_tasks=max_tasks)
        worker.configure_signals()
        worker.run()
