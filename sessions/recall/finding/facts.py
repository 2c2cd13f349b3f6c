"""The words of chains and of sessions, which songs and sessions are both remembered by. Each function
asks a constant number of queries for any number of keys."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import timedelta

from django.db.models import QuerySet
from django.utils import timezone

from sessions.bookings.models import Credit, CreditRole, RecordingSession, Reservation
from sessions.recall.finding.entities import person_ref, room_ref, unit_ref
from sessions.recall.finding.words import fold, pieces, words_of_all
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Arrangement, Chain, Orientation, Placement, Revision, Stage

Words = dict[int, set[str]]
MOST_DAYS = 62  # of one session

_CHAIN_TEXTS = (
    *("track", "taken_by", "summed_at", "group__name", "group__note"),
    *("source__name", "source__instrument", "source__tuning", "source__own_amplifier"),
    *("source__place", "source__note"),
)


def add(words: Words, rows: QuerySet, *, texts: Iterable[str], key: str) -> None:
    """The words of some fields, to those of the row's `key`."""
    for row_key, *found in rows.values_list(key, *texts).distinct():
        words[row_key] |= words_of_all(found)


def words_of_chains(keys: Collection[int]) -> Words:
    """Of every revision, since what was once in a chain is remembered, too."""
    words: Words = defaultdict(set)
    add(words, Chain.objects.filter(pk__in=keys).order_by(), texts=_CHAIN_TEXTS, key="pk")
    _add_grouping(words, keys)
    revisions = Revision.objects.filter(chain__in=keys).order_by()
    add(words, revisions.exclude(note=""), texts=["note"], key="chain")
    stages = Stage.objects.filter(revision__chain__in=keys).order_by()
    fields = ("revision__chain", "unit", "unit__asset_tag", "channel", "note")
    for chain, unit, tag, channel, note in stages.values_list(*fields).distinct():
        words[chain] |= words_of_all([note]) | {unit_ref(unit)}
        if channel:  # P-01/3, as one word: 3 alone says nothing
            words[chain].add("".join(pieces(fold(f"{tag}/{channel}"))))
    _add_placements(words, keys)
    return words


def words_of_setups(chains: Collection[int]) -> Words:
    """What is said of the setup that each of the chains stands in."""
    words: Words = defaultdict(set)
    rows = Chain.objects.filter(pk__in=chains).order_by()
    add(words, rows, texts=["setup__name", "setup__note", "setup__click"], key="pk")
    return words


def _add_grouping(words: Words, keys: Collection[int]) -> None:
    fields = ("pk", "source__performer", "source__amplifier", "group__arrangement", "seat")
    fields += ("group__spacing_cm", "group__included_angle_deg")
    chains = Chain.objects.filter(pk__in=keys).order_by()
    for chain, performer, amplifier, arrangement, seat, spacing, angle in chains.values_list(
        *fields
    ):
        refs = {person_ref(performer), unit_ref(amplifier)} - {""}
        paired = arrangement and arrangement != Arrangement.GROUP
        arranged = Arrangement(arrangement).label if paired else ""
        apart = f"{float(spacing):g}" if spacing else ""
        figures = [f"{apart} cm {apart}cm" if apart else "", f"{float(angle):g}" if angle else ""]
        words[chain] |= refs | words_of_all([arranged, seat, *figures])


def _add_placements(words: Words, keys: Collection[int]) -> None:
    fields = ("revision__chain", "orientation", "pop_filter", "pattern", "stand", "cable", "note")
    placements = Placement.objects.filter(revision__chain__in=keys).order_by()
    for chain, orientation, filtered, *texts in placements.values_list(*fields):
        how = Orientation(orientation).label if orientation else ""
        words[chain] |= words_of_all([how, "pop filter" if filtered else "", *texts])


def words_of_sessions(keys: Collection[int]) -> Words:
    """What was booked and written down of them, who and where it was, and what was heard."""
    words: Words = defaultdict(set)
    sessions = RecordingSession.objects.filter(pk__in=keys).order_by()
    add(words, sessions, texts=["title", "note", "left_to_do"], key="pk")
    reservations = Reservation.objects.filter(session__in=keys, missing=False).order_by()
    for session, room, person in reservations.values_list("session", "room", "person"):
        words[session] |= {room_ref(room), person_ref(person)} - {""}
    credited = Credit.objects.filter(session__in=keys).order_by()
    for session, person, role, instrument in credited.values_list(
        "session", "person", "role", "instrument"
    ):
        said = words_of_all([CreditRole(role).label, instrument])
        words[session] |= said | {person_ref(person)}
    mixes = HeadphoneMix.objects.filter(setup__session__in=keys).order_by()
    add(words, mixes, texts=["name", "note"], key="setup__session")
    return words


def units_of_sessions(keys: Collection[int]) -> Words:
    """What was reserved: most of it was used for one song of the day and not for another."""
    words: Words = defaultdict(set)
    units = Reservation.objects.filter(
        session__in=keys, unit__isnull=False, missing=False
    ).order_by()
    for session, unit in units.values_list("session", "unit"):
        words[session].add(unit_ref(unit))
    return words


def days_of_sessions(keys: Collection[int]) -> dict[int, list[str]]:
    """The days of the house on which each was, as ISO 8601 writes them."""
    periods = RecordingSession.objects.filter(pk__in=keys).order_by()
    days = {}
    for session, starts_at, ends_at in periods.values_list("pk", "starts_at", "ends_at"):
        first = timezone.localtime(starts_at).date()
        last = timezone.localtime(ends_at - timedelta(microseconds=1)).date()
        length = min((last - first).days, MOST_DAYS)
        days[session] = [(first + timedelta(days=n)).isoformat() for n in range(length + 1)]
    return days
