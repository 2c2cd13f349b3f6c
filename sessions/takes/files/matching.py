"""Which take a file is probably of, how sure that is and why. Nothing is linked here."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import prod
from statistics import median

from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.songs.models import Part
from sessions.takes.files.clock import Recorded, recorded
from sessions.takes.files.evidence import (
    NEAR_SECONDS,
    Candidate,
    Evidence,
    Said,
    by_number,
    by_part,
    by_song,
    by_time,
    time_apart,
)
from sessions.takes.models import Take, TakeFile

STRONG, FAIR = 0.8, 0.5
WEAKEST = 0.2  # that is worth showing
CLEARLY = 0.15  # how far the best must stand before the next
MOST_SUGGESTIONS = 3
FEWEST_TAKES = 3  # that must agree on how far a clock was ahead
ENOUGH_STARTS = 100  # of recordings, to tell how far a clock was ahead
MOST_AHEAD = timedelta(hours=26)  # a wrong day, a wrong zone


def words_of(take: Take) -> str:
    return f"{take}, withdrawn" if take.withdrawn else str(take)


@dataclass(frozen=True)
class Suggestion:
    """`part` None: the whole take."""

    take: Take
    part: Part | None
    evidence: Sequence[Evidence]

    def __str__(self) -> str:
        return f"{self.take.song}, {words_of(self.take)}: {self.part or 'all of it'}"

    @property
    def confidence(self) -> float:
        """What speaks for it taken together as if independent, less what speaks against."""
        doubts = prod(1 - each.weight for each in self.evidence if each.weight > 0)
        return (1 - doubts) * prod(1 + each.weight for each in self.evidence if each.weight < 0)

    @property
    def word(self) -> str:
        strong = "strong" if self.confidence >= STRONG else "fair"
        return strong if self.confidence >= FAIR else "weak"

    @property
    def percent(self) -> int:
        return int(100 * self.confidence)

    @property
    def reason(self) -> str:
        """ "it begins 2 s before the take, its name says take 7; but it names another song" """
        words = [", ".join(each.words for each in self.evidence if each.weight > 0)]
        words += [f"but {each.words}" for each in self.evidence if each.weight < 0]
        return "; ".join(filter(None, words))

    @property
    def key(self) -> str:
        """As the page sends a choice: a take's key, and a part's."""
        return f"{self.take.pk}.{self.part.pk if self.part else ''}"


@dataclass(frozen=True)
class Match:
    """`best` is the one suggestion that is sure enough to be chosen beforehand; `session` the one in
    whose time the file was recorded."""

    file: TakeFile
    recorded: Recorded | None
    suggestions: Sequence[Suggestion] = field(default_factory=list)
    session: RecordingSession | None = None

    @property
    def best(self) -> Suggestion | None:
        if not self.suggestions or self.suggestions[0].confidence < STRONG:
            return None
        first, *others = self.suggestions
        next_one = others[0].confidence if others else 0
        return first if first.confidence - next_one >= CLEARLY else None

    @property
    def remark(self) -> str:
        """Why nothing is chosen beforehand."""
        if self.best:
            return ""
        if not self.suggestions:
            during = f" It was recorded during {self.session}, while no take of it rolled."
            return "Nothing in its header or name fits a take." + (during if self.session else "")
        first, *others = self.suggestions
        if first.confidence >= STRONG and others:
            return f"{others[0].take} fits nearly as well as {first.take}: choose."
        return "Not sure enough to be chosen beforehand."


def matches(
    files: Iterable[TakeFile],
    takes: Sequence[Take],
    *,
    sessions: Iterable[RecordingSession] = (),
    naming: str,
    ahead: timedelta,
) -> list[Match]:
    """Each file with what it may be of, best first. Load the takes `for_list`; `naming` is the
    project's, `ahead` how far the recorder's clock was before the studio's."""
    candidates = [Candidate(take) for take in takes]
    titles = {each.title for each in candidates if each.title}
    called = {}  # by song what all its parts are called
    for each in candidates:
        called.setdefault(each.take.song_id, {}).update(each.called)
    days = days_of(takes)
    found = []
    for file in files:
        said, at = Said(file, naming), recorded(file, days=days)
        suggestions = _suggestions(said, at, candidates, titles, called, ahead)
        found.append(Match(file, at, suggestions, _session_then(at, sessions, ahead)))
    return found


def _session_then(
    at: Recorded | None, sessions: Iterable[RecordingSession], ahead: timedelta
) -> RecordingSession | None:
    starts = [start - ahead for start in at.starts] if at and at.is_dated else []
    there = (
        session
        for session in sessions
        if any(session.starts_at <= start < session.ends_at for start in starts)
    )
    return next(there, None)


def _suggestions(
    said: Said, at: Recorded | None, candidates, titles, called, ahead
) -> list[Suggestion]:
    suggestions = []
    for candidate in candidates:
        part, named = by_part(said, candidate, called[candidate.take.song_id])
        evidence = [
            *([by_time(at, candidate.take, ahead=ahead)] if at else []),
            *by_number(said, candidate),
            *by_song(said, candidate, titles),
            *([named] if named else []),
        ]
        suggestions.append(Suggestion(candidate.take, part, evidence))
    suggestions.sort(key=lambda each: -each.confidence)
    worth = [each for each in suggestions if each.confidence >= WEAKEST]
    return worth[:MOST_SUGGESTIONS]


def days_of(takes: Iterable[Take]) -> list[date]:
    """The days on which they were recorded, by the studio's clock."""
    return sorted({timezone.localtime(take.taken_at).date() for take in takes})


@dataclass(frozen=True)
class ClockAhead:
    """How far a recorder's clock was before the studio's (behind: below zero), by so many `takes`
    with which recordings begin then; without it that many do: `without`."""

    by: timedelta
    takes: int
    without: int

    def __str__(self) -> str:
        seconds = self.by.total_seconds()
        return f"{time_apart(seconds)} {'ahead' if seconds > 0 else 'behind'}"


def clock_ahead(files: Iterable[TakeFile], takes: Sequence[Take]) -> ClockAhead | None:
    """The one difference at which most recordings begin with a take; None where the clocks agree, or
    nothing says otherwise. Asks for at least three takes, for half of the recordings, and for more
    than any other difference has: takes that followed each other evenly fit several."""
    known = {
        at.starts[0].replace(microsecond=0)
        for file in files
        if (at := recorded(file, days=[])) and at.is_dated
    }
    starts = sorted(known)[:: len(known) // ENOUGH_STARTS + 1]
    begun = [take for take in takes if take.started_at]
    apart = sorted(
        ((start - take.started_at).total_seconds(), start, take.pk)
        for start in starts
        for take in begun
        if abs(start - take.started_at) <= MOST_AHEAD
    )
    found = [(0.0, _agreeing([each for each in apart if abs(each[0]) <= NEAR_SECONDS]))]
    first = 0
    for last in range(len(apart)):
        while apart[last][0] - apart[first][0] > NEAR_SECONDS:
            first += 1
        window = apart[first : last + 1]
        found.append((median(each[0] for each in window), _agreeing(window)))
    without = found[0][1]
    by, agreeing = max(found, key=lambda each: each[1])
    others = [count for other, count in found if abs(other - by) > 2 * NEAR_SECONDS]
    if agreeing < max(
        FEWEST_TAKES, 2 * without, (len(starts) + 1) // 2, max(others, default=0) + 1
    ):
        return None
    return (
        ClockAhead(timedelta(seconds=round(by)), agreeing, without)
        if abs(by) > NEAR_SECONDS
        else None
    )


def _agreeing(window: Sequence[tuple]) -> int:
    """How many takes begin with a recording each."""
    return min(len({start for _, start, _ in window}), len({take for _, _, take in window}))
