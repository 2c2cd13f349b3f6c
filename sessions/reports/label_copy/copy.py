"""The label copy: who is on a recording, who wrote and made it, and where. No times, no addresses."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils import timezone
from django.utils.formats import date_format

from sessions.bookings.models import PERFORMERS, Credit, CreditRole, Release, Reservation
from sessions.clients.models import Person
from sessions.songs.models import Part, Song
from sessions.takes.models import TakePart

#: In the order in which a label copy has them.
ORDER = [
    *(CreditRole.VOCALIST, CreditRole.MUSICIAN, CreditRole.CONDUCTOR, CreditRole.ARRANGER),
    *(CreditRole.PRODUCER, CreditRole.RECORDING_ENGINEER, CreditRole.ASSISTANT_ENGINEER),
    *(CreditRole.MIXING_ENGINEER, CreditRole.MASTERING_ENGINEER),
]


@dataclass(frozen=True)
class CreditedName:
    """A name as it is credited; `does`: the instruments, or the words of the role."""

    name: str
    role: str
    does: tuple[str, ...]


@dataclass(frozen=True)
class LabelCopy:
    """Of one song. `missing` is for the house: what to see to before it goes out."""

    song: Song
    performers: tuple[CreditedName, ...]
    staff: tuple[tuple[str, tuple[str, ...]], ...]
    days: tuple[date, ...]
    rooms: tuple[str, ...]
    missing: tuple[str, ...]

    @property
    def recorded_in_words(self) -> str:
        """Fri 20 Nov 2026 and Sat 21 Nov 2026; empty where nothing was recorded."""
        days = [date_format(day) for day in self.days]
        return " and ".join(filter(None, (", ".join(days[:-1]), *days[-1:])))


def label_copies(songs: Iterable[Song]) -> list[LabelCopy]:
    """Of songs whose project is loaded, in their order; a constant number of queries."""
    songs = list(songs)
    taken = _taken(songs)
    sessions = {each.take.session for takes in taken.values() for each in takes}
    credits = list(_credits(songs, sessions))
    rooms = _rooms(sessions)
    signed = _signed({credit.session_id for credit in credits})
    return [
        _copy(
            song,
            taken[song],
            [each for each in credits if _is_for(each, song, taken)],
            rooms,
            signed,
        )
        for song in songs
    ]


def _taken(songs: list[Song]) -> dict[Song, list[TakePart]]:
    """What was recorded of each, guides and takes that were withdrawn apart."""
    taken = defaultdict(list)
    found = TakePart.objects.filter(
        take__song__in=songs, take__withdrawn=False, part__is_guide=False
    )
    for each in found.select_related("take__session", "take__song", "part__performer"):
        taken[each.take.song].append(each)
    return taken


def _credits(songs: list[Song], sessions):
    """Those that name one of the songs, and those of its sessions that name none."""
    named = Q(on__song__in=songs) | Q(on__part__song__in=songs)
    return (
        Credit.objects.filter(named | Q(session__in=sessions, on=None))
        .distinct()
        .for_list()
        .select_related("session")
        .order_by("pk")
    )


def _is_for(credit: Credit, song: Song, taken) -> bool:
    """A guide is not on the record."""
    on = credit.on.all()
    if not on:
        return any(each.take.session_id == credit.session_id for each in taken[song])
    return any(each.song_of_it == song and not (each.part and each.part.is_guide) for each in on)


def _rooms(sessions) -> dict[int, list[str]]:
    rooms = defaultdict(list)
    reserved = Reservation.objects.filter(session__in=sessions, room__isnull=False, missing=False)
    for session, name in reserved.order_by("room__name").values_list("session", "room__name"):
        rooms[session].append(name)
    return rooms


def _signed(sessions) -> set[tuple[int, int]]:
    """Session and person of the releases that stand."""
    releases = Release.objects.filter(session__in=sessions, withdrawn_on=None)
    return set(releases.values_list("session", "person"))


def _copy(song: Song, takes: list[TakePart], credits: list[Credit], rooms, signed) -> LabelCopy:
    sessions = {each.take.session for each in takes}
    days = {timezone.localdate(each.take.taken_at) for each in takes}
    used = {name: None for session in sorted(sessions, key=_start) for name in rooms[session.pk]}
    return LabelCopy(
        song,
        tuple(_performers(song, credits)),
        tuple(_staff(credits)),
        tuple(sorted(days)),
        tuple(used),
        tuple(_missing(song, takes, credits, signed)),
    )


def _start(session):
    return session.starts_at, session.pk


def _performers(song: Song, credits: list[Credit]):
    """Each name once in each role, with all that they play."""
    does: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for credit in credits:
        if credit.role in PERFORMERS:
            words = [credit.instrument] if credit.instrument else _parts(credit, song)
            does[credit.role, credit.name].update(dict.fromkeys(words))
    for (role, name), words in sorted(does.items(), key=lambda item: ORDER.index(item[0][0])):
        yield CreditedName(name, role, tuple(words) or (CreditRole(role).label,))


def _parts(credit: Credit, song: Song) -> list[str]:
    return [each.part.name for each in credit.on.all() if each.part and each.part.song == song]


def _staff(credits: list[Credit]):
    names: dict[str, dict[str, None]] = defaultdict(dict)
    for credit in credits:
        if credit.role not in PERFORMERS:
            names[credit.role][credit.name] = None
    for role in sorted(names, key=ORDER.index):
        yield CreditRole(role).label, tuple(names[role])


def _missing(song: Song, takes: list[TakePart], credits: list[Credit], signed):
    if not song.writers:
        yield "Writers are not given."
    if not song.isrc:
        yield "The ISRC of the recording is not given."
    credited = {credit.person for credit in credits if credit.role in PERFORMERS}
    parts: dict[Part, Person | None] = {each.part: each.part.performer for each in takes}
    for part, performer in sorted(parts.items(), key=lambda item: (item[0].position, item[0].pk)):
        if not performer:
            yield f"{part}: the performer is not given."
        elif performer not in credited:
            yield f"{part}: {performer} has no credit."
    yield from _without_release(credits, signed)


def _without_release(credits: list[Credit], signed):
    """By session, since a release is for one."""
    without: dict[str, dict[str, None]] = defaultdict(dict)
    for credit in credits:
        if credit.role in PERFORMERS and (credit.session_id, credit.person_id) not in signed:
            without[credit.session.title][credit.person.name] = None
    for session, names in without.items():
        yield f"{session}: no release is logged for {', '.join(sorted(names))}."
