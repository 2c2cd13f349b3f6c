from django.core.management.base import BaseCommand

from sessions.papers.stored.keeping import print_waiting
from sessions.papers.stored.models import KeptPaper
from sessions.recall.sheet.keeping import RECALL_SHEET
from sessions.reports.keeping import CLIENTS_REPORT, SESSION_REPORT

KINDS = {kind.name: kind for kind in (RECALL_SHEET, SESSION_REPORT, CLIENTS_REPORT)}


class Command(BaseCommand):
    help = "Make the paper that waits under this number. The studio starts it by itself."

    def add_arguments(self, parser):
        parser.add_argument("paper", type=int)

    def handle(self, *, paper, **options):
        waiting = KeptPaper.objects.filter(pk=paper).first()
        if waiting:
            print_waiting(waiting, KINDS[waiting.kind])
