from django.core.management.base import BaseCommand
from django.utils import timezone

from sessions.bookings.challenges.actions import lapse_due


class Command(BaseCommand):
    help = (
        "Let every challenged hold lapse whose deadline has come, and tell everyone concerned. "
        "For cron, every few minutes; run twice, it does nothing twice."
    )

    def handle(self, *, verbosity, **options):
        lapsed = lapse_due(timezone.now())
        for session in lapsed:
            self.stdout.write(f"Lapsed: {session}, {session.period_in_words}")
        if not lapsed and verbosity > 1:
            self.stdout.write("No hold was due.")
