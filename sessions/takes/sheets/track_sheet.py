"""The track sheet: what every track holds, and how it came there."""

from dataclasses import dataclass
from itertools import groupby

from django.db.models import Exists, OuterRef, Q

from sessions.bookings.models import RecordingSession
from sessions.setups.chains.phantom import HEARS
from sessions.setups.models import Revision, Setup, Stage
from sessions.setups.models.chains import ARROW
from sessions.songs.models import Part, Song
from sessions.takes.models import TakeRevision


@dataclass(frozen=True)
class Track:
    """A chain's revision; `parts` are those that it carries, of the song or of all: none means
    whatever is recorded."""

    revision: Revision
    parts: tuple[Part, ...]
    first: Stage | None
    """Its microphone or DI box."""
    then: tuple[Stage, ...]

    @property
    def name(self) -> str:
        return self.revision.chain.track

    @property
    def part_names(self) -> str:
        """Each once, of however many songs it is recorded."""
        return ", ".join(dict.fromkeys(map(str, self.parts)))

    @property
    def performers(self) -> str:
        named = dict.fromkeys(f"{part.performer}" for part in self.parts if part.performer)
        return ", ".join(named) or self.revision.source_facts.performer

    @property
    def units_behind(self) -> str:
        """What follows the microphone up to the track."""
        return ARROW.join(f"{stage.facts.unit}" for stage in self.then)

    @property
    def format(self) -> str:
        return f"{self.revision.recording_format.rate}, {self.revision.recording_format.depth}"


@dataclass(frozen=True)
class TracksOfSetup:
    setup: Setup
    tracks: tuple[Track, ...]


def tracks_of_session(session: RecordingSession) -> list[TracksOfSetup]:
    """Of every chain as it stands. A constant number of queries, as below."""
    return _by_setup(Revision.objects.newest().filter(chain__setup__session=session), song=None)


def tracks_of_song(song: Song) -> list[TracksOfSetup]:
    """Of the chains that its takes went through, as they stood at the last; of those that carry a
    part of it, are up and recorded nothing of it yet, as they stand."""
    recorded = TakeRevision.objects.filter(take__song=song, take__withdrawn=False)
    later = recorded.filter(
        revision__chain=OuterRef("chain"), revision__number__gt=OuterRef("number")
    )
    last = Exists(recorded.filter(revision=OuterRef("pk"))) & ~Exists(later)
    waiting = Q(chain__parts__song=song, chain__setup__struck_at=None) & ~Exists(
        recorded.filter(revision__chain=OuterRef("chain"))
    )
    newest = Revision.objects.newest().filter(waiting)
    return _by_setup(Revision.objects.filter(last | Q(pk__in=newest.values("pk"))), song=song)


def _by_setup(revisions, *, song: Song | None) -> list[TracksOfSetup]:
    ordered = (
        revisions.with_stages()
        .prefetch_related("chain__parts__performer")
        .order_by(
            "chain__setup__session__starts_at",
            "chain__setup__position",
            "chain__setup",
            "chain__position",
            "chain",
        )
    )
    return [
        TracksOfSetup(setup, tuple(_track(revision, song) for revision in group))
        for setup, group in groupby(ordered, key=lambda revision: revision.chain.setup)
    ]


def _track(revision: Revision, song: Song | None) -> Track:
    parts = [part for part in revision.chain.parts.all() if song in (None, part.song)]
    stages = [stage for stage in revision.stages.all() if stage.is_printed]
    first = next((stage for stage in stages if stage.unit.model.category in HEARS), None)
    behind = tuple(stage for stage in stages if stage is not first)
    return Track(revision, tuple(parts), first, behind)
