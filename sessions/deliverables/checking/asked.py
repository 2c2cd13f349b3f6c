"""What a deliverable is checked against: the order, and what else is on record of its song."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from sessions.clients.models import Project
from sessions.clients.naming import Naming
from sessions.clients.orders import DeliverableKind, Order
from sessions.deliverables.models import Deliverable, DeliverableFile, FileState
from sessions.deliverables.nulling.models import NullTest
from sessions.songs.models import Part, PartState, Song

SETS = (DeliverableKind.STEMS, DeliverableKind.MULTITRACK)


@dataclass
class SongRecord:
    """What is known of a song: its recorded parts, what was uploaded, and by checksum the files, the
    first one first."""

    parts: list[Part] = field(default_factory=list)
    kinds: set[str] = field(default_factory=set)
    null_tests: dict[int, NullTest] = field(default_factory=dict)  # by their stems
    by_content: dict[str, list[DeliverableFile]] = field(default_factory=lambda: defaultdict(list))


def records_of(songs: Iterable[int]) -> dict[int, SongRecord]:
    """By the songs' keys. Three queries."""
    records = defaultdict(SongRecord)
    songs = set(songs)
    for part in Part.objects.filter(song__in=songs, is_guide=False).with_state():
        if part.state != PartState.NOT_RECORDED:
            records[part.song_id].parts.append(part)
    files = DeliverableFile.objects.filter(deliverable__song__in=songs)
    files = files.exclude(state=FileState.REFUSED).select_related("deliverable")
    for file in files.only("sha256", "state", "deliverable").order_by("pk"):
        record = records[file.deliverable.song_id]
        record.kinds.add(file.deliverable.kind)
        if file.sha256:
            record.by_content[file.sha256].append(file)
    for test in NullTest.objects.done_for(songs):
        records[test.stems.song_id].null_tests[test.stems_id] = test
    return records


@dataclass(frozen=True)
class Asked:
    deliverable: Deliverable
    song: Song
    project: Project
    order: Order
    naming: Naming | None
    rate: int
    depth: int
    record: SongRecord

    @classmethod
    def of(cls, deliverable: Deliverable, record: SongRecord) -> "Asked":
        """Reads deliverable.song.project."""
        project = deliverable.song.project
        rate, depth = project.format_ordered
        return cls(
            deliverable,
            deliverable.song,
            project,
            project.order,
            project.naming,
            rate,
            depth,
            record,
        )

    @property
    def is_set(self) -> bool:
        return self.deliverable.kind in SETS

    @property
    def is_reference(self) -> bool:
        """A rough mix is there to be listened to; nobody mixes or masters from it."""
        return self.deliverable.kind == DeliverableKind.ROUGH_MIX

    @property
    def source(self) -> str:
        return f"the order of {self.project}"
