"""What is tracked, and on which page."""

from datetime import timedelta

from django.utils import timezone

from sessions.bookings.models import Status
from sessions.songs.models import Part
from tests.factories import ChainFactory, PartFactory, RevisionFactory


def tracked_part() -> Part:
    """A lead vocal in a session under way, through a chain."""
    part = PartFactory(name="Lead vocal")
    now = timezone.now()
    chain = ChainFactory(
        part=part,
        setup__session__project=part.song.project,
        setup__session__status=Status.UNDER_WAY,
        setup__session__starts_at=now - timedelta(hours=1),
        setup__session__ends_at=now + timedelta(hours=3),
    )
    RevisionFactory(chain=chain)
    return part


def tracking_page(part: Part) -> str:
    setup = part.chains.get().setup
    query = f"song={part.song_id}&part={part.pk}&setup={setup.pk}"
    return f"/sessions/{setup.session_id}/takes/?{query}"
