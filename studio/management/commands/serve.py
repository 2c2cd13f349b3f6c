from django.conf import settings
from django.core.checks import Tags
from django.core.management.base import BaseCommand

from studio.working.keeping import keep
from studio.working.lanes import MOST, server, workers


class Command(BaseCommand):
    help = (
        "Run the studio: the server, in so many processes, and so many workers for each of the two "
        "queues. Each is started again whenever it ends; all end with this command."
    )

    def add_arguments(self, parser):
        parser.add_argument(
            "--processes",
            type=int,
            choices=MOST,
            metavar="N",
            default=settings.PROCESSES,
            help="of the server (PROCESSES, %(default)s)",
        )
        parser.add_argument(
            "--workers",
            type=int,
            choices=MOST,
            metavar="N",
            default=settings.WORKERS,
            help="for papers, letters and upkeep, and as many for sound (WORKERS, %(default)s)",
        )
        parser.add_argument(
            "--bind", default="127.0.0.1:8000", help="where the proxy asks (%(default)s)"
        )

    def handle(self, *, processes, bind, **options):
        self.check(tags=[Tags.database], databases=["default"])  # as each of them does
        keep([server(processes=processes, bind=bind), *workers(options["workers"])])
