"""What the pages about a session share: the session that somebody may see, and the pages above."""

from django.db.models import Model
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from gear.editing.form_pages import trail
from sessions.bookings.models import RecordingSession


def session_of(request: HttpRequest, pk: int, *related: str) -> RecordingSession:
    """The session with all that lists show of it; `related` is loaded with it. Raises Http404."""
    sessions = RecordingSession.objects.visible_to(request.user).for_list()
    return get_object_or_404(sessions.select_related(*related) if related else sessions, pk=pk)


def session_alone(request: HttpRequest, pk: int) -> RecordingSession:
    """The session without what it takes, for what loads that in its own way. Raises Http404."""
    sessions = RecordingSession.objects.visible_to(request.user)
    return get_object_or_404(sessions.select_related("project__client"), pk=pk)


def above(*pages: tuple[str, str] | Model) -> list[tuple[str, str]]:
    """The list of sessions and the pages under it, as `trail` has them."""
    return trail(("Sessions", "bookings:list"), *pages)
