"""What the player plays: files of one song, each by its light copy or as it is, equally loud.

Every address is the caller's, so that a page without sign-in has addresses of its own.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from sessions.clients.orders import MIX_KINDS, Order
from sessions.deliverables.listening.matching import Match, Measured, match_loudness
from sessions.deliverables.listening.models import LightCopy, time_in_words
from sessions.deliverables.listening.song_places import SongPlace, song_places
from sessions.deliverables.models import Deliverable, DeliverableFile, FileState
from sessions.songs.models import Song

FULL_SCALE_DBTP = 0.0

# Of a file, the address that plays its light copy (True) or itself (False), and not as a download.
AddressOf = Callable[[DeliverableFile, bool], str]


@dataclass
class Source:
    """Something that a browser plays: the file itself, or its light copy."""

    address: str
    of: DeliverableFile | LightCopy
    gain_db: float = 0.0

    @property
    def measured(self) -> Measured:
        return Measured(self.of.integrated_lufs, self.of.true_peak_dbtp)


@dataclass
class Entry:
    """A file with what it can be played by; `light` is None until it is made."""

    file: DeliverableFile
    light: Source | None
    original: Source | None
    is_here: bool = False
    is_alone: bool = True  # in its deliverable
    is_matched: bool = False

    @property
    def deliverable(self) -> Deliverable:
        return self.file.deliverable

    @property
    def bar_one_seconds(self) -> float:
        return self.deliverable.bar_one_seconds

    @property
    def bar_one_in_words(self) -> str:
        return time_in_words(self.bar_one_seconds)

    @property
    def name(self) -> str:
        return str(self.deliverable) if self.is_alone else str(self.file)

    @property
    def source(self) -> Source | None:
        """What plays unless the listener chose otherwise."""
        return self.light or self.original

    @property
    def gain_in_words(self) -> str:
        return f"{self.source.gain_db:+.1f} dB" if self.gain_is_heard else "as it is"

    @property
    def gain_is_heard(self) -> bool:
        return round(self.source.gain_db, 1) != 0


@dataclass
class MatchInWords:
    """At what loudness versions are matched, and which of them it is that none plays louder."""

    match: Match
    held_by: Entry
    ceiling_dbtp: float

    @property
    def loudest_db(self) -> float:
        """By how much a version gets louder where matching ends."""
        return -min(self.match.gains_db)


@dataclass
class Player:
    song: Song
    entries: list[Entry]
    places: list[SongPlace]
    matches: list[MatchInWords] = field(default_factory=list)

    @property
    def first(self) -> Entry | None:
        """What it begins with: what its page is about, else the newest."""
        playable = [entry for entry in self.entries if entry.source]
        return next((entry for entry in playable if entry.is_here), next(iter(playable), None))

    @property
    def stops(self) -> list[tuple[SongPlace, float | None]]:
        """Each place with its time in the first file; None where nobody said, or it ends before."""
        return [(place, self._time_of(place)) for place in self.places]

    def _time_of(self, place: SongPlace) -> float | None:
        if place.seconds is None:
            return None
        time = self.first.bar_one_seconds + place.seconds
        return time if time < self.first.file.duration_seconds else None

    @property
    def has_choice(self) -> bool:
        return any(entry.light and entry.original for entry in self.entries)


def with_what_plays(files):
    """These files, measured ones only, with all that a player of them asks for; newest first."""
    return (
        files.filter(state=FileState.MEASURED)
        .select_related("light_copy", "deliverable__song__project", "deliverable__created_by")
        .prefetch_related("deliverable__verdicts")
        .order_by("-deliverable__version", "original_name", "pk")
    )


def player_of(
    files: Iterable[DeliverableFile],
    *,
    song: Song,
    address_of: AddressOf,
    here: Deliverable | None = None,
) -> Player:
    """A player of files that were loaded `with_what_plays`; versions of one kind of mix are matched."""
    files = list(files)
    deliverables = [file.deliverable_id for file in files]
    entries = [
        Entry(
            file,
            light=_light(file, address_of),
            original=Source(address_of(file, False), file) if file.format.in_browsers else None,
            is_here=here is not None and file.deliverable_id == here.pk,
            is_alone=deliverables.count(file.deliverable_id) == 1,
        )
        for file in files
    ]
    player = Player(song, entries, song_places(song))
    ceiling = _ceiling(song)
    for kind in MIX_KINDS:
        of_kind = [entry for entry in entries if entry.deliverable.kind == kind]
        if matched := _match(of_kind, ceiling):
            player.matches.append(matched)
    return player


def _light(file: DeliverableFile, address_of: AddressOf) -> Source | None:
    copy = getattr(file, "light_copy", None)
    return Source(address_of(file, True), copy) if copy and copy.made_at else None


def _match(entries: list[Entry], ceiling: float) -> MatchInWords | None:
    """Give what can be played of two versions and more its gain."""
    if len({entry.deliverable.pk for entry in entries if entry.source}) < 2:
        return None
    sources = [
        (entry, source) for entry in entries for source in (entry.light, entry.original) if source
    ]
    match = match_loudness([source.measured for _, source in sources], ceiling_dbtp=ceiling)
    if match is None:
        return None
    for (entry, source), gain in zip(sources, match.gains_db, strict=True):
        source.gain_db = gain
        entry.is_matched = source.measured.lufs is not None
    return MatchInWords(match, sources[match.held_by][0], ceiling)


def _ceiling(song: Song) -> float:
    """Of the project's order; full scale where it names none."""
    ceiling = Order.read(song.project.delivery_rules).true_peak_ceiling_dbtp
    return FULL_SCALE_DBTP if ceiling is None else ceiling
