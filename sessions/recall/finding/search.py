"""Finding the recall of a song from whatever somebody remembers: title, artist, part, take, unit,
a note, a day. Only what the person may see is looked through."""

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, F, Model, OuterRef, Q, QuerySet
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from gear.equipment.models import Unit
from gear.patchbay.lines import tag_and_channel
from sessions.bookings.models import RecordingSession
from sessions.periods import midnight
from sessions.recall.finding.words import holding, in_fields, spellings
from sessions.setups.models import Arrangement, Chain, GroupFacts, Revision, Seat, Stage
from sessions.songs.models import LyricLine, Part, Song
from sessions.takes.models import Mark, Take, TakePart, TakeRevision

ONE_DAY = timedelta(days=1)
FIGURE = re.compile(r"(\d{1,4}(?:\.\d)?)(cm|°)?")  # of a spacing or an angle
SOURCE_FIELDS = (
    "source__name",
    "source__performer__name",
    "source__instrument",
    "source__tuning",
    "source__amplifier__asset_tag",
    "source__amplifier__model__name",
    "source__own_amplifier",
    "source__note",
)
MOST_HITS = 20  # of each kind; whoever finds more writes another word


@dataclass(frozen=True)
class Hit:
    """Something found, and the songs to whose recall it leads; none: its own page, `address`."""

    title: str
    detail: str
    songs: tuple[Song, ...]
    address: str = ""


@dataclass(frozen=True)
class Group:
    name: str
    hits: tuple[Hit, ...]
    more: bool


def find(words: list[str], *, day: date | None, user) -> list[Group]:
    """What holds all the words and has to do with the day, by kind, in a constant number of queries."""
    sessions = RecordingSession.objects.visible_to(user)
    on_day = None if day is None else sessions.overlapping(midnight(day), midnight(day + ONE_DAY))
    found = {
        "Songs": _songs(words, on_day, user),
        "Parts": _parts(words, on_day, user),
        "Takes": _takes(words, on_day, user),
        "Units": _units(words, on_day),
        "Chains and their notes": _chains(words, on_day, user),
        "Sessions": _sessions(words, on_day, sessions),
    }
    rows = {name: list(queryset[: MOST_HITS + 1]) for name, queryset in found.items()}
    recalls = _Recalls(rows, Take.objects.visible_to(user), Song.objects.visible_to(user))
    return [
        Group(name, tuple(_hit(row, recalls) for row in of_kind[:MOST_HITS]), _more(of_kind))
        for name, of_kind in rows.items()
        if of_kind
    ]


def _more(rows: list) -> bool:
    return len(rows) > MOST_HITS


def _songs(words, on_day, user) -> QuerySet:
    songs = Song.objects.visible_to(user).select_related("project")
    if on_day is not None:
        songs = songs.filter(pk__in=Take.objects.filter(session__in=on_day).values("song"))
    facts = in_fields("title", "note", "isrc", "iswc", "project__artist", "project__name")

    def own(word: str) -> Q:
        return facts(word) | Q(Exists(_lines_with(word)))

    around = in_fields("project__client__name", "key")
    return holding(songs, words, own=own, around=around).order_by("title", "pk")


def _lines_with(word: str) -> QuerySet:
    lines = Q()
    for spelling in spellings(word):
        lines |= Q(text__icontains=spelling)
    return LyricLine.objects.filter(lines, section__song=OuterRef("pk"))


def _parts(words, on_day, user) -> QuerySet:
    parts = Part.objects.visible_to(user).select_related("song__project", "performer")
    if on_day is not None:
        parts = parts.filter(
            pk__in=TakePart.objects.filter(take__session__in=on_day).values("part")
        )
    own = in_fields("name", "note", "performer__name")
    around = in_fields("song__title", "song__project__artist")
    return holding(parts, words, own=own, around=around).order_by("song__title", "position", "pk")


def _takes(words, on_day, user) -> QuerySet:
    """Each part by its take's number (take 3), its mark, or a note of either."""
    takes = TakePart.objects.visible_to(user).select_related("part", "take__song", "take__session")
    if on_day is not None:
        takes = takes.filter(take__session__in=on_day)
    text = in_fields("note", "take__note")

    def own(word: str) -> Q:
        found = text(word)
        if word.isdecimal() and len(word) < 5:
            found |= Q(take__number=int(word))
        marks = [mark for mark in Mark.values if word.casefold() in Mark(mark).label.casefold()]
        return found | Q(mark__in=marks) if len(word) > 2 else found

    named = [word for word in words if word.casefold() not in ("take", "takes")]
    if words and not named:
        return takes.none()
    around = in_fields(
        "part__name", "part__performer__name", "take__song__title", "take__session__title"
    )
    found = holding(takes, named, own=own, around=around)
    return found.order_by("take__song__title", "part", "take__number")


def _units(words, on_day) -> QuerySet:
    units = Unit.objects.select_related("model")
    if on_day is not None:
        used = Stage.objects.filter(revision__chain__setup__session__in=on_day)
        units = units.filter(pk__in=used.values("unit"))
    text = in_fields("asset_tag", "serial_number", "note", "model__maker", "model__name")
    around = in_fields("home_room", "rack", "model__category")

    def own(word: str) -> Q:
        return text(word) | _on_channel(word, "asset_tag")

    return holding(units, words, own=own, around=around).order_by("asset_tag")


def _chains(words, on_day, user) -> QuerySet:
    chains = Chain.objects.visible_to(user).select_related("setup__session", "group")
    if on_day is not None:
        chains = chains.filter(setup__session__in=on_day)
    words_of_it = in_fields(
        "track", "destination_input", "setup__name", "setup__note", *SOURCE_FIELDS
    )
    in_revision, in_stage = in_fields("note", "placement__note"), in_fields("note")

    def own(word: str) -> Q:
        revisions = Revision.objects.filter(in_revision(word), chain=OuterRef("pk"))
        said = in_stage(word) | _on_channel(word, "unit__asset_tag", "channel")
        stages = Stage.objects.filter(said, revision__chain=OuterRef("pk"))
        return words_of_it(word) | _in_group(word) | Q(Exists(revisions)) | Q(Exists(stages))

    def around(word: str) -> Q:
        parts = Part.objects.filter(in_fields("name", "song__title")(word), chains=OuterRef("pk"))
        return in_fields("setup__session__title")(word) | Q(Exists(parts))

    found = holding(chains, words, own=own, around=around)
    return found.order_by(F("setup__session__starts_at").desc(), "position", "pk")


def _in_group(word: str) -> Q:
    """By the name of its pair or group, how that is arranged (mid/side), which side it is, or a
    figure of it: 30 cm apart, 110°."""
    found = in_fields("group__name", "group__note")(word)
    if len(word) > 2:
        kinds = [each for each in Arrangement if _holds(each.label.partition(":")[0], word)]
        seats = [each for each in Seat if _holds(each.label, word)]
        found |= Q(group__arrangement__in=kinds) | Q(seat__in=seats)
    if word.casefold() == "cm":
        found |= Q(group__spacing_cm__isnull=False)
    if figure := FIGURE.fullmatch(word.casefold()):
        number, unit = figure.groups()
        if unit != "°":
            found |= Q(group__spacing_cm=number)
        if unit != "cm":
            found |= Q(group__included_angle_deg=number)
    return found


def _holds(text: str, word: str) -> bool:
    return word.casefold() in text.casefold()


def _on_channel(word: str, tag_field: str, channel_field: str = "") -> Q:
    """P-01/3: the unit by its tag, where the channel is a fact too on that channel."""
    tag, channel = tag_and_channel(word)
    if channel is None:
        return Q(pk__in=[])
    on = {channel_field: channel} if channel_field else {}
    return Q(**{f"{tag_field}__iexact": tag}, **on)


def _sessions(words, on_day, sessions: QuerySet) -> QuerySet:
    sessions = sessions if on_day is None else on_day
    own = in_fields("title", "note", "left_to_do")
    around = in_fields("project__name", "project__artist")
    found = holding(sessions.select_related("project"), words, own=own, around=around)
    return found.order_by("-starts_at", "pk")


class _Recalls:
    """Which songs' recalls the found units, chains and sessions lead to; loaded at once."""

    def __init__(self, rows: dict[str, list], takes: QuerySet, songs: QuerySet):
        through = TakeRevision.objects.filter(take__in=takes)
        units, chains = rows["Units"], rows["Chains and their notes"]
        pairs = {
            Unit: through.behind(TakePart.objects.filter(take__in=takes).chosen())
            .filter(revision__stages__unit__in=units)
            .values_list("revision__stages__unit", "take__song")
            .distinct(),
            Chain: through.filter(revision__chain__in=chains)
            .values_list("revision__chain", "take__song")
            .distinct(),
            RecordingSession: takes.filter(session__in=rows["Sessions"])
            .order_by()
            .values_list("session", "song")
            .distinct(),
        }
        self.keys = defaultdict(set)
        for model, found in pairs.items():
            for key, song in found:
                self.keys[model, key].add(song)
        wanted = set().union(*self.keys.values()) if self.keys else set()
        self.songs = songs.in_bulk(list(wanted))

    def of(self, row: Model) -> tuple[Song, ...]:
        found = [self.songs[key] for key in self.keys[type(row), row.pk] if key in self.songs]
        return tuple(sorted(found, key=lambda song: (song.title, song.pk)))


def _hit(row: Model, recalls: _Recalls) -> Hit:
    return _HITS[type(row)](row, recalls)


def _day_of(session: RecordingSession) -> str:
    return date_format(timezone.localtime(session.starts_at))


def _joined(*facts: Iterable[str]) -> str:
    return " · ".join(str(fact) for fact in facts if fact)


def _song_hit(song: Song, _: _Recalls) -> Hit:
    return Hit(str(song), _joined(song.project.artist, song.project, song.note), (song,))


def _part_hit(part: Part, _: _Recalls) -> Hit:
    return Hit(f"{part} of {part.song}", _joined(part.performer, part.note), (part.song,))


def _take_hit(part: TakePart, _: _Recalls) -> Hit:
    take, mark = part.take, part.get_mark_display().lower()
    chosen = "circled" if part.circled else ""
    facts = (take.song, mark, chosen, part.note, take.note, _day_of(take.session))
    return Hit(str(part), _joined(*facts), (take.song,))


def _unit_hit(unit: Unit, recalls: _Recalls) -> Hit:
    return Hit(
        str(unit),
        _joined(unit.home, unit.get_state_display().lower(), unit.note),
        recalls.of(unit),
        unit.get_absolute_url(),
    )


def _chain_hit(chain: Chain, recalls: _Recalls) -> Hit:
    session = chain.setup.session
    detail = _joined(GroupFacts.of(chain), chain.setup, session, _day_of(session))
    return Hit(str(chain), detail, recalls.of(chain), chain.get_absolute_url())


def _session_hit(session: RecordingSession, recalls: _Recalls) -> Hit:
    detail = _joined(session.project, session.project.artist, _day_of(session))
    address = reverse("reports:session", args=[session.pk])
    return Hit(str(session), detail, recalls.of(session), address)


_HITS = {
    Song: _song_hit,
    Part: _part_hit,
    TakePart: _take_hit,
    Unit: _unit_hit,
    Chain: _chain_hit,
    RecordingSession: _session_hit,
}
