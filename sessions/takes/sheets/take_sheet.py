"""The take sheet: every take of a song or a session, and what it was recorded through where that
changes."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from sessions.bookings.models import RecordingSession
from sessions.songs.models import Song
from sessions.takes.models import Take, TakePart, TakeRevision


@dataclass(frozen=True)
class SheetTake:
    """`results`: its parts, those together that came out alike. `through`: what it was recorded through,
    where that is not what the take above it was; `others_stay` where only revisions of these changed."""

    take: Take
    results: tuple[tuple[TakePart, ...], ...]
    through: tuple[TakeRevision, ...] | None
    others_stay: bool

    @property
    def length(self) -> str:
        """In minutes and seconds; empty where it was not logged."""
        length = self.take.length
        return "{}:{:02d}".format(*divmod(round(length.total_seconds()), 60)) if length else ""


@dataclass(frozen=True)
class TakesTogether:
    """Of one song in one session."""

    song: Song
    session: RecordingSession
    takes: tuple[SheetTake, ...]


def takes_of_song(song: Song) -> list[TakesTogether]:
    """By session, in the order of their numbers. A constant number of queries, as below."""
    return _together(song.takes.for_list().order_by("number"))


def takes_of_session(session: RecordingSession) -> list[TakesTogether]:
    return _together(session.takes.for_list().order_by("song__title", "song", "number"))


def _together(takes: Iterable[Take]) -> list[TakesTogether]:
    return [
        TakesTogether(song, session, tuple(_with_changes(group)))
        for (song, session), group in groupby(takes, key=lambda take: (take.song, take.session))
    ]


def _with_changes(takes: Iterable[Take]) -> Iterator[SheetTake]:
    standing = None  # of each chain, the revision at the end of the take above
    for take in takes:
        rows = take.through.all()
        now = defaultdict(list)
        for each in rows:
            now[each.revision.chain_id].append(each.revision_id)
        others_stay = standing is not None and standing.keys() == now.keys()
        changed = tuple(
            each
            for each in rows
            if not others_stay or now[each.revision.chain_id] != [standing[each.revision.chain_id]]
        )
        yield SheetTake(
            take, _results(take), None if others_stay and not changed else changed, others_stay
        )
        standing = {chain: revisions[-1] for chain, revisions in now.items()}


def _results(take: Take) -> tuple[tuple[TakePart, ...], ...]:
    alike = defaultdict(list)
    for each in take.take_parts.all():
        alike[each.mark, each.grade, each.circled, each.note].append(each)
    return tuple(map(tuple, alike.values()))
