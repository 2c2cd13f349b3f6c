"""What a mix engineer works on: sheets, rebuilds, and what was said about mixes."""

from django.db.models import Count, Q

from sessions.deliverables.listening.models import MixNote, NoteState
from sessions.recall.models import Rebuild
from sessions.songs.models import Song
from sessions.takes.models import Take

LAST_NOTES = 6


def sheets_ready(user):
    """Songs with chosen takes in the projects that name the user as mix engineer."""
    chosen = Take.objects.chosen().values("song")
    songs = Song.objects.filter(project__mix_engineers__user=user, pk__in=chosen)
    return songs.select_related("project").order_by("project__name", "title")


def rebuilds_under_way(user):
    """Those not finished, the newest first, with how many units are in place as `in_place_count`."""
    rebuilds = Rebuild.objects.visible_to(user).filter(finished_at=None).for_list()
    in_place = Q(steps__in_place_at__isnull=False)
    return rebuilds.annotate(in_place_count=Count("steps", filter=in_place))


def open_notes(user):
    """What was said about mixes and not answered yet, the newest first."""
    notes = MixNote.objects.visible_to(user).filter(state=NoteState.OPEN)
    notes = notes.select_related("deliverable__song__project")
    return notes.order_by("-at", "-pk")[:LAST_NOTES]
