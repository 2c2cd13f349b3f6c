"""How safe the copies of a project are, by rules of archive practice."""

from collections.abc import Iterable

from sessions.bookings.models import RecordingSession
from sessions.deliverables.media.models import MediaCopy

#: When a session is wrapped.
WANTED_AT_WRAP = 2
#: At least three copies on two kinds of medium with one off site (general archival practice).
WANTED, KINDS = 3, 2


def doubts_about_wrapping(session: RecordingSession) -> list[str]:
    """What is to be asked before a session is wrapped: whether what was recorded is on two media,
    verified. Two queries at most."""
    if not session.takes.exists():
        return []
    verified = MediaCopy.objects.verified().filter(project=session.project_id)
    ours = [
        copy
        for copy in verified
        if copy.session_id == session.pk
        or (copy.session_id is None and copy.verified_at >= session.starts_at)
    ]
    media = len({copy.medium_id for copy in ours if copy.deliverable_id is None})
    if media >= WANTED_AT_WRAP:
        return []
    return [
        f"Of this session’s audio {media or 'no'} verified cop{'y is' if media == 1 else 'ies are'} "
        f"logged, and {WANTED_AT_WRAP} on two media are wanted: copy it, verify it, and log it "
        "under the project’s media."
    ]


def warnings_about_copies(copies: Iterable[MediaCopy]) -> list[str]:
    """Against three verified copies, two kinds of medium, one of them off site; of those that are
    there. No query if they are loaded `for_list`."""
    verified = [
        copy
        for copy in copies
        if copy.verified_at and not copy.removed_at and copy.deliverable_id is None
    ]
    media = {copy.medium for copy in verified}
    found = []
    if len(media) < WANTED:
        found.append(f"{len(media)} of {WANTED} verified copies, each on a medium of its own.")
    if len({medium.kind for medium in media}) < KINDS:
        found.append("All verified copies are on one kind of medium: two kinds are wanted.")
    if not any(medium.is_off_site for medium in media):
        found.append("No verified copy is kept outside the house.")
    return found


def left_without(copy: MediaCopy) -> str:
    """What stands once this one is removed, in words. A query."""
    others = MediaCopy.objects.verified().filter(project=copy.project_id).exclude(pk=copy.pk)
    count = others.values("medium").distinct().count()
    if not count:
        return "No verified copy of this project is then left in any place we know of."
    return f"{count} verified cop{'y' if count == 1 else 'ies'} of this project then remain."
