from django.http import HttpRequest
from django.utils import timezone

from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.notices import saying_who_was_not_told


def lapse_on_sight(request: HttpRequest) -> None:
    """Before a page shows holds: those whose deadline has come lapse, also between runs of cron."""
    with saying_who_was_not_told(request):
        lapse_due(timezone.now())
