"""The files of a session that wait for confirmation, with the takes that each may be of."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Q

from sessions.bookings.models import RecordingSession
from sessions.takes.files.clock import recorded
from sessions.takes.files.evidence import time_apart
from sessions.takes.files.matching import (
    MOST_AHEAD,
    ClockAhead,
    Match,
    Suggestion,
    clock_ahead,
    matches,
    words_of,
)
from sessions.takes.models import Take, TakeFile

MOST_TAKES = 400
MOST_AHEAD_SECONDS = int(MOST_AHEAD.total_seconds())


@dataclass(frozen=True)
class Waiting:
    """`found_ahead` is what the files themselves say of their recorder's clock; `ahead` is allowed
    for: that, or what somebody typed."""

    session: RecordingSession
    takes: Sequence[Take]
    found_ahead: ClockAhead | None
    ahead: timedelta

    @property
    def ahead_seconds(self) -> str:
        return f"{self.ahead.total_seconds():.0f}"

    @property
    def about_the_clock(self) -> str:
        """Whether it seems to have been wrong, and whether that is allowed for; empty: it seems right."""
        found = self.found_ahead
        if found is None:
            return ""
        without = f"with {found.without}" if found.without else "with none"
        is_used = "Allowed for here." if self.ahead == found.by else "Not allowed for here."
        return (
            f"The recorder’s clock seems to have been {found}. So recordings begin with {found.takes} "
            f"takes, otherwise {without}. {is_used}"
        )

    def reason(self, suggestion: Suggestion) -> str:
        """To be kept with the link."""
        words = f"{suggestion.percent} %: {suggestion.reason}"
        apart = self.ahead.total_seconds()
        if not apart:
            return words
        side = "ahead" if apart > 0 else "behind"
        return f"{words}; allowing for a clock {time_apart(apart)} {side}"

    def matches(self, files: Iterable[TakeFile]) -> list[Match]:
        sessions = dict.fromkeys([self.session, *(take.session for take in self.takes)])
        naming = self.session.project.file_naming
        return matches(files, self.takes, sessions=sessions, naming=naming, ahead=self.ahead)


def waiting_of(session: RecordingSession, *, typed_ahead: int | None) -> Waiting:
    """Load the session with its project. A constant number of queries."""
    files = list(session.take_files.waiting())
    takes = takes_near(session, files)
    found = clock_ahead(files, takes)
    ahead = found.by if found else timedelta()
    if typed_ahead is not None:
        ahead = timedelta(seconds=typed_ahead)
    return Waiting(session, takes, found, ahead)


def takes_near(session: RecordingSession, files: Iterable[TakeFile]) -> list[Take]:
    """Those of the session, and of the project's other sessions about the time of the files."""
    dated = [at for file in files if (at := recorded(file, days=[])) and at.is_dated]
    near = Q(session=session)
    if dated:
        starts = [start for at in dated for start in at.starts]
        about = (min(starts) - MOST_AHEAD, max(starts) + MOST_AHEAD)
        near |= Q(session__project=session.project_id, logged_at__range=about)
    takes = Take.objects.for_list().filter(near).order_by("song__title", "song", "number")
    return list(takes[:MOST_TAKES])


def choices_of(take: Take) -> list[tuple[str, str]]:
    """Each thing that a file may be of, as key and words: the whole take, one part of it."""
    parts, words = [each.part for each in take.take_parts.all()], words_of(take)
    whole = [(f"{take.pk}.", f"{words}: all of it")] if len(parts) != 1 else []
    return whole + [(f"{take.pk}.{part.pk}", f"{words}: {part}") for part in parts]
