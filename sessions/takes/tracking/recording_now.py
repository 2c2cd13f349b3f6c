"""What is being recorded now: song, setup and parts, the takes so far, and what the keys act on."""

from dataclasses import dataclass
from functools import cached_property

from django.db.models import Subquery
from django.http import QueryDict
from django.utils.http import urlencode

from gear.asked import whole_number
from gear.equipment.models import GearModel, Unit
from sessions.bookings.models import RecordingSession
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.setups.patching.patch_list import newest_of_sessions
from sessions.setups.pins.pinned import Pinned, pinned_controls
from sessions.songs.line_places import spans_of_lines
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.songs.parts import PartLine, part_lines, to_record
from sessions.takes.in_force import parts_set_up
from sessions.takes.models import Take, TakeKind, TakePart
from sessions.takes.tracking.presses import last_press
from sessions.takes.warnings_in_force import WarningLine, warnings_of

SHOWN = 4  # takes that the tracking page lists; all others are a press away
#: Whose changes the tracking page shows at once.
WATCHED = (Take, TakePart, Revision, Stage, Placement, Chain, RecordingSession, Unit, GearModel)


@dataclass
class RecordingNow:
    session: RecordingSession
    song: Song
    setup: Setup | None
    parts: list[Part]

    @cached_property
    def takes(self) -> list[Take]:
        """The newest of the song, of whatever session."""
        takes = self.song.takes.for_list().select_related("song", "session", "into", "started_by")
        return list(takes.prefetch_related("in_doubt").order_by("-number")[: SHOWN + 1])

    @property
    def lines(self) -> list[tuple[Take, str]]:
        """The takes that are shown, and what each was recorded through where that changed."""
        return [
            (take, take.through_since(earlier))
            for take, earlier in zip(self.takes[:SHOWN], [*self.takes[1:], None], strict=False)
        ]

    @cached_property
    def rolling(self) -> Take | None:
        """The take of one of the parts that rolls, in whatever session."""
        takes = self.song.takes.rolling().filter(parts__in=self.parts).for_list().order_by("-pk")
        return takes.select_related("song", "session", "into", "started_by").first()

    @property
    def current(self) -> Take | None:
        """What the keys act on: the take that rolls, else the last that counts."""
        ours = (
            take
            for take in self.takes
            if take.session_id == self.session.pk and not take.withdrawn and not take.is_rolling
        )
        return self.rolling or next(ours, None)

    @property
    def next_number(self) -> int:
        return self.takes[0].number + 1 if self.takes else 1

    @cached_property
    def _in_session(self) -> list[Revision]:
        """The chains of the session as they stand, with all that is set."""
        return list(newest_of_sessions({self.session.pk}))

    @property
    def in_force(self) -> list[Revision]:
        """What the next take is recorded through."""
        return [
            each
            for each in self._in_session
            if self.setup
            and each.chain.setup_id == self.setup.pk
            and each.chain.struck_at is None
            and any(map(each.chain.carries, self.parts))
        ]

    @property
    def next_parts(self) -> list[PartLine]:
        """What is still to record, but for what is being recorded."""
        lines = to_record(part_lines(self.song.parts.with_state()))
        return [line for line in lines if line.part not in self.parts]

    @property
    def pinned(self) -> list[Pinned]:
        return pinned_controls(self.in_force)

    @property
    def warnings(self) -> list[WarningLine]:
        return warnings_of(self.in_force, self._in_session)

    @cached_property
    def last_punch_in(self) -> Take | None:
        return self.song.takes.counting().filter(into__isnull=False).order_by("-number").first()

    @property
    def query(self) -> str:
        """The address of the tracking page of this, from the question mark on."""
        query = QueryDict(mutable=True)
        query["song"] = self.song.pk
        if self.setup:
            query["setup"] = self.setup.pk
        query.setlist("part", [part.pk for part in self.parts])
        return query.urlencode()

    @property
    def to_punch_into(self) -> int | None:
        """The key of the take that the last punch-in went into, else of the last whole take."""
        whole = (t.pk for t in self.takes if t.kind == TakeKind.WHOLE and not t.withdrawn)
        return self.last_punch_in.into_id if self.last_punch_in else next(whole, None)

    def pass_to_begin_with(self, query: QueryDict) -> dict:
        """What the form begins with: a whole take, unless a place was tapped, with the pre-roll of the last
        punch-in."""
        begins = {
            "kind": TakeKind.WHOLE,
            "pre_roll": self.last_punch_in.pre_roll if self.last_punch_in else "",
            "note": self.current.note if self.current else "",
        }
        if "punch_in" not in query:
            return begins
        points = {name: query.get(name, "") for name in ("punch_in", "punch_out")}
        return begins | {"kind": TakeKind.PUNCH_IN, "into": self.to_punch_into} | points


@dataclass(frozen=True)
class TappedPlace:
    """A section or a lyric line, and the points between which it is sung."""

    of: Section | LyricLine
    punch_in: str
    punch_out: str

    @property
    def query(self) -> str:
        return urlencode({"punch_in": self.punch_in, "punch_out": self.punch_out})

    @property
    def is_section(self) -> bool:
        return isinstance(self.of, Section)


def places_to_punch_in(song: Song) -> list[TappedPlace]:
    """Sections first, then lyric lines, each where it is on record where it is sung."""
    sections = [each for each in song.sections.all() if each.first_bar is not None]
    bars = sorted(each.first_bar for each in sections)
    found = []
    for section in sections:
        after = next((bar for bar in bars if bar > section.first_bar), None)
        ends = f"bar {after}" if after else ""
        found.append(TappedPlace(section, f"bar {section.first_bar}", ends))
    return found + [TappedPlace(s.line, s.punch_in, s.punch_out) for s in spans_of_lines(song)]


def asked_for(session: RecordingSession, query: QueryDict) -> QueryDict:
    """The song, setup and parts that the address names, else those of the session's last take."""
    if "song" in query:
        return query
    now = QueryDict(mutable=True)
    last = session.takes.counting().order_by("-logged_at", "-pk").first()
    used = session.setups.filter(chains__revisions__takes=last) if last else session.setups.none()
    if setup := used.first() or session.setups.first():
        now["setup"] = setup.pk
    if last:
        now["song"] = last.song_id
        now.setlist("part", [str(part.pk) for part in last.parts.all()])
    return now


def parts_of(song: Song, setup: Setup | None, query: QueryDict) -> list[Part]:
    """Those that the query names, else those that the setup's chains carry."""
    named = [whole_number(key) for key in query.getlist("part")]
    return list(song.parts.filter(pk__in=[key for key in named if key])) or parts_set_up(
        setup, song
    )


def stamp(session: RecordingSession, user) -> str:
    """Another one whenever something was changed that the tracking page shows. One query."""
    newest = [
        Subquery(model.history.order_by("-history_id").values("history_id")[:1])
        for model in WATCHED
    ]
    theirs = Subquery(session.take_presses.filter(user=user).order_by("-pk").values("pk")[:1])
    of = RecordingSession.objects.filter(pk=session.pk).values_list(*newest, theirs)
    return "-".join(str(each or 0) for each in of.get())


def undoable(session: RecordingSession, user) -> str:
    """What an undo would take back, in words; empty for nothing."""
    last = last_press(session, user)
    return f"{last.get_what_display()}: {str(last.take).lower()}" if last else ""
