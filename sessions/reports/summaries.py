"""Summaries of a session's day that were sent by e-mail; they are written at the desk."""

from django.db.models import QuerySet

from sessions.bookings.models import RecordingSession
from sessions.letters.models import Letter

SUMMARY = "summary"  # the kind of letter


def summaries_of(session: RecordingSession) -> QuerySet[Letter]:
    """One letter an address, the newest first."""
    return Letter.objects.about_thing(session).filter(kind=SUMMARY).select_related("written_by")
