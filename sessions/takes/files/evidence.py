"""What speaks for a file being of a take, and what against it: each with its weight and its words.

The weights are the house's own judgement; none comes from a standard.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import NamedTuple

from sessions.periods import duration_in_words
from sessions.songs.models import Part
from sessions.takes.files.clock import Recorded
from sessions.takes.files.names import by_naming, joined, phrases_in, take_number, words_in
from sessions.takes.models import Take, TakeFile

NEAR_SECONDS = 15  # between a key that logs a take and the recorder's own button
AFTER_SECONDS = 180  # a take that is over is logged within these


class Evidence(NamedTuple):
    """`weight` is how far it alone would convince, from 0 to 1; below zero it speaks against."""

    weight: float
    words: str


@dataclass(frozen=True)
class Candidate:
    """A take that a file may be of. Load it `for_list`."""

    take: Take

    @cached_property
    def title(self) -> str:
        return joined(self.take.song.title)

    @cached_property
    def parts(self) -> dict[Part, dict[str, str]]:
        """By part what it is called: its name, the tracks of its chains; joined, and as written."""
        called = {}
        for each in self.take.take_parts.all():
            tracks = [
                through.revision.chain.track
                for through in each.through()
                if each.part in through.revision.chain.parts.all()
            ]
            names = [each.part.name, *tracks]
            called[each.part] = {joined(name): name for name in names if joined(name)}
        return called

    @cached_property
    def called(self) -> dict[str, str]:
        """What any of them is called."""
        return {key: name for names in self.parts.values() for key, name in names.items()}


@dataclass(frozen=True)
class Said:
    """What a file's name and its iXML say. `naming` is the project's."""

    file: TakeFile
    naming: str = ""

    @cached_property
    def stem(self) -> str:
        return self.file.name.rpartition(".")[0] or self.file.name

    @cached_property
    def fields(self) -> dict[str, str]:
        return by_naming(self.stem, self.naming)

    @cached_property
    def phrases(self) -> set[str]:
        ixml, bext = self.file.ixml or {}, self.file.bext or {}
        texts = [
            self.file.path,
            ixml.get("project", ""),
            ixml.get("scene", ""),
            ixml.get("note", ""),
        ]
        return set().union(*map(phrases_in, [*texts, bext.get("description", "")[:256]]))

    @cached_property
    def tracks(self) -> set[str]:
        return set().union(*map(phrases_in, self.file.track_names))

    @cached_property
    def numbers(self) -> list[tuple[int, float, str]]:
        """Each take number that it says, its weight, and where it stands."""
        found = []
        words = words_in((self.file.ixml or {}).get("take", ""))  # 7, 007, T7, 7A
        if number := next((word for word in words if word.isdecimal()), ""):
            found.append((int(number[:6]), 0.5, "its iXML says"))
        by_project = take_number("take " + self.fields.get("take", ""))
        if by_project and by_project.is_labelled:
            found.append((by_project.number, 0.65, f"by the naming {self.naming} it is"))
        elif named := take_number(self.stem):
            weight, where = (
                (0.5, "its name says") if named.is_labelled else (0.2, "its name ends like")
            )
            found.append((named.number, weight, where))
        return found


def by_number(said: Said, candidate: Candidate) -> Iterator[Evidence]:
    for number, weight, where in said.numbers:
        if number == candidate.take.number:
            yield Evidence(weight, f"{where} take {number}")
        elif weight >= 0.5:
            yield Evidence(-0.5, f"{where} take {number}")


def by_song(said: Said, candidate: Candidate, titles: set[str]) -> Iterator[Evidence]:
    """`titles` are those of all songs that it may be of, joined."""
    if candidate.title and joined(said.fields.get("song", "")) == candidate.title:
        yield Evidence(0.4, f"by the naming {said.naming} it is {candidate.take.song}")
    elif candidate.title in said.phrases:
        yield Evidence(0.3, f"it names {candidate.take.song}")
    elif titles & said.phrases:
        yield Evidence(-0.6, "it names another song")


def by_part(
    said: Said, candidate: Candidate, called: dict[str, str]
) -> tuple[Part | None, Evidence | None]:
    """The one part that it names, None for the whole take. `called` is what any part of the song is
    called, joined and as written."""
    named = {part: _longest(names, said) for part, names in candidate.parts.items()}
    named = {part: words for part, words in named.items() if words}
    # “Vocal” is in “Harmony vocal”, too: the longer name counts, but for several tracks in one file.
    if len(named) > 1 and not said.tracks:
        most = max(len(joined(words)) for words in named.values())
        named = {part: words for part, words in named.items() if len(joined(words)) == most}
    if len(named) == 1:
        [(part, words)] = named.items()
        return part, Evidence(
            0.3 if words == said.fields.get("part") else 0.15, f"it names {words}"
        )
    only = next(iter(candidate.parts)) if len(candidate.parts) == 1 else None
    if named:
        return only, Evidence(0.15, f"it names {' and '.join(named.values())}")
    other = _longest(
        {key: name for key, name in called.items() if key not in candidate.called}, said
    )
    return only, Evidence(-0.5, f"it names {other}, which this take has not") if other else None


def _longest(called: dict[str, str], said: Said) -> str:
    there = [key for key in called if key in said.phrases or key in said.tracks]
    return called[max(there, key=len)] if there else ""


def by_time(recorded: Recorded, take: Take, *, ahead: timedelta) -> Evidence:
    """`ahead` is how far the recorder's clock was before the studio's."""
    found = [_at(start - ahead, recorded.seconds, take) for start in recorded.starts]
    best = max(found, key=lambda evidence: evidence.weight, default=Evidence(0, "no day is known"))
    undated = 1 if recorded.is_dated or best.weight < 0 else 0.85
    return best._replace(weight=best.weight * undated)


def _at(start: datetime, length: float | None, take: Take) -> Evidence:
    ends = None if length is None else start + timedelta(seconds=length)
    if take.started_at is None:
        return _logged_after(start, ends, take)
    gap = _seconds(start, take.started_at)
    begins = f"it begins {_distance(gap)} the take"
    over = take.ended_at or take.started_at
    late = None if ends is None or take.is_rolling else _seconds(ends, over)
    if abs(gap) <= NEAR_SECONDS:
        if late is not None and abs(late) <= NEAR_SECONDS:
            return Evidence(0.9, f"{begins} and ends {_distance(late)} it")
        return Evidence(0.75, begins)
    shared = _seconds(min(ends, over), max(start, take.started_at)) if ends else 0
    covers = shared / max(1, _seconds(over, take.started_at))
    if covers >= 0.5:
        return Evidence(0.6, f"it runs through {min(1, covers):.0%} of the take")
    if abs(gap) <= 4 * NEAR_SECONDS:
        return Evidence(0.4, begins)
    if covers > 0:
        return Evidence(0.2, f"it runs through {covers:.0%} of the take")
    return Evidence(-0.7, begins)


def _logged_after(start: datetime, ends: datetime | None, take: Take) -> Evidence:
    """Of a take that nobody logged when it began only the moment of logging is known."""
    if ends is None:
        wait = _seconds(take.logged_at, start)
        near = 0 <= wait <= 5 * AFTER_SECONDS
        return Evidence(0.3 if near else -0.7, f"it begins {_distance(-wait)} the take was logged")
    wait = _seconds(take.logged_at, ends)
    words = f"it ends {_distance(-wait)} the take was logged"
    if -NEAR_SECONDS <= wait <= AFTER_SECONDS:
        return Evidence(0.6, words)
    return Evidence(0.3 if start <= take.logged_at <= ends else -0.7, words)


def _seconds(later: datetime, earlier: datetime) -> float:
    return (later - earlier).total_seconds()


def _distance(seconds: float) -> str:
    """ "3 s before", "2 h 10 min after", "with" """
    if abs(seconds) < 0.5:
        return "with"
    return f"{time_apart(seconds)} {'before' if seconds < 0 else 'after'}"


def time_apart(seconds: float) -> str:
    apart = abs(seconds)
    if apart < 120:
        return f"{apart:.0f} s"
    if apart < 3 * 24 * 3600:
        return duration_in_words(timedelta(seconds=apart))
    return f"{apart / (24 * 3600):.0f} days"
