"""Search texts are made anew as the histories tell of changes: by the worker, and by who searches.

What a history does not tell of (rows that have none, a part that a chain no longer carries) is put
right within a day, since the texts that were read longest ago are read again in turn.
"""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import F, Max, Model, QuerySet, Value
from django.utils import timezone

from sessions.bookings.models import Credit, RecordingSession, Reservation
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.recall.finding.models import SearchText, Sought
from sessions.recall.finding.texts import session_texts, song_texts
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Chain, ChainGroup, Placement, Revision, Setup, Source, Stage
from sessions.songs.models import Part, Song
from sessions.takes.models import Take, TakeFile, TakePart

OVERLAP = timedelta(seconds=30)  # what another was just saving may have come to the record since
AT_ONCE = 200
READ_AGAIN = 500  # an hour


@dataclass(frozen=True)
class Followed:
    """A model by whose history a change is known; `by` is the column that says what it was in, and
    the others how songs and sessions are found by that."""

    model: type[Model]
    by: str
    songs: tuple[str, ...] = ()
    sessions: tuple[str, ...] = ()


def _by(of_chains: str) -> tuple[str, str]:
    """Songs by their parts' chains, and by those of their takes."""
    return f"parts__chains{of_chains}", f"takes__revisions__chain{of_chains}"


_SETUP = (_by("__setup"), ("setups",))
_REVISION = (("parts__chains__revisions", "takes__revisions"), ("setups__chains__revisions",))
_SESSION = (("takes__session", "project__recording_sessions"), ("pk",))
FOLLOWED = (
    Followed(Song, "id", ("pk",), ("takes__song",)),
    Followed(Part, "song_id", ("pk",)),
    Followed(Take, "song_id", ("pk",)),
    Followed(Take, "session_id", (), ("pk",)),
    Followed(TakePart, "take_id", ("takes",)),
    Followed(TakeFile, "take_id", ("takes",)),
    Followed(Deliverable, "song_id", ("pk",)),
    Followed(Chain, "id", _by(""), ("setups__chains",)),
    Followed(Source, "id", _by("__source"), ("setups__sources",)),
    Followed(Setup, "id", *_SETUP),
    Followed(ChainGroup, "setup_id", *_SETUP),
    Followed(HeadphoneMix, "setup_id", *_SETUP),
    Followed(Revision, "id", *_REVISION),
    Followed(Stage, "revision_id", *_REVISION),
    Followed(Placement, "revision_id", *_REVISION),
    Followed(RecordingSession, "id", *_SESSION),
    Followed(Reservation, "session_id", *_SESSION),
    Followed(Credit, "session_id", *_SESSION),
)


def bring_up_to_date(*, read_again: int = 0) -> None:
    """Make the texts that are lacking or were overtaken, and as many of those that are oldest."""
    now = timezone.now()
    made_until = SearchText.objects.aggregate(latest=Max("read_at"))["latest"]
    changed = {}
    if made_until and made_until > now:  # the clock was set back: what it said then is forgotten
        changed = _changed(now - OVERLAP, None)
        SearchText.objects.filter(read_at__gt=now).update(read_at=now)
    elif made_until:
        changed = _changed(made_until - OVERLAP, now)
    for kind, model, makes in (
        (Sought.SONG, Song, song_texts),
        (Sought.SESSION, RecordingSession, session_texts),
    ):
        of_kind = SearchText.objects.filter(kind=kind)
        wanted = _lacking(model, of_kind)
        for followed, keys in changed.items():
            lookups = followed.songs if kind == Sought.SONG else followed.sessions
            for lookup in lookups:
                found = model.objects.filter(**{f"{lookup}__in": keys}).order_by()
                wanted |= set(found.values_list("pk", flat=True))
        if read_again:
            oldest = of_kind.order_by("read_at", "pk")[:read_again]
            wanted |= set(oldest.values_list("subject", flat=True))
        _make(sorted(wanted), makes, now)


def _lacking(model: type[Model], texts: QuerySet) -> set[int]:
    lacking = model.objects.exclude(pk__in=texts.values("subject")).order_by()
    return set(lacking.values_list("pk", flat=True))


def _changed(since: datetime, until: datetime | None) -> dict[Followed, set[int]]:
    """What was changed since, in one query; where `until` is given no later than that."""
    within = {"history_date__lte": until} if until else {}
    tells = [
        followed.model.history.filter(history_date__gt=since, **within)
        .order_by()
        .values_list(Value(number), F(followed.by))
        for number, followed in enumerate(FOLLOWED)
    ]
    files = DeliverableFile.objects.filter(uploaded_at__gt=since).order_by()  # without a history
    of_deliverables = next(n for n, each in enumerate(FOLLOWED) if each.model is Deliverable)
    tells.append(files.values_list(Value(of_deliverables), F("deliverable__song_id")))
    changed: dict[Followed, set[int]] = {}
    for number, key in tells[0].union(*tells[1:]):
        if key is not None:
            changed.setdefault(FOLLOWED[number], set()).add(key)
    return changed


def _make(
    keys: list[int],
    makes: Callable[[Collection[int], datetime], list[SearchText]],
    read_at: datetime,
) -> None:
    for some in _parts(keys):
        SearchText.objects.bulk_create(
            makes(some, read_at),
            update_conflicts=True,
            unique_fields=["kind", "subject"],
            update_fields=["own", "work", "around", "days", "days_around", "read_at"],
        )


def _parts(keys: list[int]) -> Iterator[list[int]]:
    for first in range(0, len(keys), AT_ONCE):
        yield keys[first : first + AT_ONCE]
