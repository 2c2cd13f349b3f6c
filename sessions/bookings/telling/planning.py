"""Who is to be told what, after sessions were changed: at most one letter to each address."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from django.db.models import Case, Exists, F, OuterRef, Q, QuerySet, Value, When
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Told
from sessions.bookings.telling.facts import Facts, ReadsAs, with_all_that_is_told
from sessions.bookings.telling.readers import Reader, concerned_by, managers
from sessions.bookings.telling.tidings import Tidings, tidings_for
from sessions.letters.models import HEARD, Letter, LetterState

ORDER = (ReadsAs.CLIENT, ReadsAs.PERSON, ReadsAs.PLAYER, ReadsAs.MANAGER)
KNOWN = {None, *HEARD}  # no letter: they did it themselves


@dataclass(frozen=True)
class Known:
    """What a reader will know of a session."""

    session: RecordingSession
    facts: Facts | None


@dataclass(frozen=True)
class Notice:
    """What one reader is told at once, and the letters that it takes the place of.

    `if_left_out`: where those promise what is off, what goes instead to a reader who is told nothing
    of the change: all else that they told of.
    """

    reader: Reader
    tidings: tuple[Tidings, ...]
    known: tuple[Known, ...]
    replaces: frozenset[int] = frozenset()
    if_left_out: "Notice | None" = None

    @property
    def key(self) -> str:
        return self.reader.address.lower()


@dataclass
class Plan:
    """`silent`: who acted and knows, or whose waiting letter has become pointless."""

    notices: list[Notice] = field(default_factory=list)
    silent: list[Notice] = field(default_factory=list)
    unreachable: list[Notice] = field(default_factory=list)  # no e-mail address


def plan(keys: Iterable[int], *, by) -> Plan:
    """What the state of these sessions means for all whom they concern, or did.

    A letter that still waits is replaced together with what is told now, also where it told of
    further sessions. Whoever acts is told only what their calendar needs. A constant number of
    queries.
    """
    order = {key: place for place, key in enumerate(keys)}
    keys = set(order)
    sessions = with_all_that_is_told(keys | _told_of_with(keys))
    sessions.sort(key=lambda session: order.get(session.pk, len(order)))
    replaceable = set(_replaceable(session.pk for session in sessions).values_list("pk", flat=True))
    planned = Plan()
    for reader, own in by_reader(sessions):
        notice = own.notice(reader, keys, replaceable)
        if notice is None:
            continue
        told = _without_what_they_did(notice, by)
        if not told.tidings:
            planned.silent.append(told)
        elif reader.address:
            planned.notices.append(told)
        elif reader.user is None:
            planned.unreachable.append(told)
    planned.notices.sort(key=_order)
    return planned


def _replaceable(keys: Iterable[int]) -> QuerySet:
    """The letters of these sessions that may be replaced; nobody sends them before we are done."""
    told = Told.objects.filter(session__in=list(keys), letter__isnull=False)
    letters = Letter.objects.replaceable().filter(pk__in=told.values("letter"))
    return letters.order_by("pk").select_for_update(of=("self",), no_key=True)


def _told_of_with(keys: set[int]) -> set[int]:
    """The sessions that letters which may be replaced told of together with these."""
    letters = [letter.pk for letter in _replaceable(keys).only("pk")]
    return set(Told.objects.filter(letter__in=letters).values_list("session", flat=True))


@dataclass
class Own:
    """What one reader knew, and how it stands now, of each session."""

    now: dict[RecordingSession, Facts | None] = field(default_factory=dict)
    rows: dict[RecordingSession, list[Told]] = field(default_factory=lambda: defaultdict(list))

    def notice(self, reader: Reader, keys: set[int], replaceable: set[int]) -> Notice | None:
        """None where they know how it stands, or are about to."""
        touched = [session for session in self.now if session.pk in keys]
        if not any(self._failed(session) or self._tidings(session) for session in touched):
            return None
        replaces = frozenset(
            row.letter_id
            for session in touched
            for row in self.rows[session]
            if row.letter_id in replaceable
        )
        said = {
            session: [row.facts for row in self.rows[session] if row.letter_id in replaces]
            for session in self.now
        }
        notice = self._of(
            [session for session in self.now if session.pk in keys or said[session]],
            reader,
            replaces,
        )
        off = {each for each, facts in said.items() if self.now[each] is None and any(facts)}
        if not off:
            return notice
        rest = [session for session, facts in said.items() if facts and session not in off]
        return replace(notice, if_left_out=self._of(rest, reader, replaces))

    def _of(
        self, sessions: list[RecordingSession], reader: Reader, replaces: frozenset[int]
    ) -> Notice:
        return Notice(
            reader,
            tuple(each for session in sessions for each in self._tidings(session, replaces)),
            tuple(Known(session, self.now[session]) for session in sessions),
            replaces,
        )

    def knows(self, session: RecordingSession, without: Iterable[int] = ()) -> Facts | None:
        """What they heard last, without what those letters say."""
        heard = [
            row.facts
            for row in self.rows[session]
            if row.state in KNOWN and row.letter_id not in without
        ]
        return heard[-1] if heard else None

    def _tidings(self, session: RecordingSession, without: Iterable[int] = ()) -> list[Tidings]:
        before = self.knows(session, without)
        return tidings_for(session, before, self.now[session], now=timezone.now())

    def _failed(self, session: RecordingSession) -> bool:
        return any(row.state == LetterState.FAILED for row in self.rows[session])


def by_reader(sessions: list[RecordingSession]) -> Iterator[tuple[Reader, Own]]:
    """Everybody whom one of the sessions concerns, or who was told of it, each address once.

    Whose address has changed since is the same reader, under the new one.
    """
    told = defaultdict(list)
    for row in _rows(sessions):
        told[row.session_id].append(row)
    house = managers()
    readers: dict[object, Reader] = {}
    found: dict[object, Own] = defaultdict(Own)
    for session in sessions:
        places = {}
        for each in concerned_by(session, house):
            place = places[each.reader.key] = each.reader.place
            readers.setdefault(place, each.reader)
            found[place].now[session] = each.facts
        here = set(places.values())
        for row in told[session.pk]:
            reader = Reader.of(row)
            if reader.user and reader.user not in house:
                continue  # whoever manages the house no longer has no house copies
            place = reader.place if reader.place in here else places.get(reader.key, reader.place)
            readers.setdefault(place, reader)
            found[place].now.setdefault(session, None)
            found[place].rows[session].append(row)
    for place, own in found.items():
        yield readers[place], own


def _rows(sessions: list[RecordingSession]) -> QuerySet:
    """What was ever told of them, apart from letters that were replaced; the oldest first. A letter
    that went once more to another address is as its copy is."""
    copies = Letter.objects.heard().filter(copy_of=OuterRef("letter"))
    counts = Q(letter=None) | Q(is_copied=True) | ~Q(letter__state=LetterState.REPLACED)
    state = Case(When(is_copied=True, then=Value(LetterState.SENT)), default=F("letter__state"))
    rows = Told.objects.filter(session__in=sessions).annotate(is_copied=Exists(copies))
    rows = rows.filter(counts).annotate(state=state)
    return rows.select_related("person", "client", "user").order_by("pk")


def _without_what_they_did(notice: Notice, by) -> Notice:
    """Whoever acts hears only what their calendar needs. Where nothing is left to tell that was not
    their own doing, nobody knows anything new."""
    if not notice.tidings:
        return replace(notice, known=())
    if by is None or not notice.reader.is_user(by):
        return notice
    return replace(notice, tidings=tuple(each for each in notice.tidings if each.method))


def _order(notice: Notice) -> tuple:
    """The client first, the house last."""
    return ORDER.index(notice.tidings[0].reads_as), notice.reader.name
