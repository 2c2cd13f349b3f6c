from django.core.management.base import BaseCommand

from sessions.recall.keeping import make_paper
from sessions.recall.models import KeptPaper


class Command(BaseCommand):
    help = "Make the recall sheet that waits under this number. The studio starts it by itself."

    def add_arguments(self, parser):
        parser.add_argument("paper", type=int)

    def handle(self, *, paper, **options):
        waiting = KeptPaper.objects.filter(pk=paper).first()
        if waiting:
            make_paper(waiting)
