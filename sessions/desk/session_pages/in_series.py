"""Where a session stands in its series, and what can be done from there on."""

from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.series.rest.changes import LEADS_TO, Verb, is_possible


@dataclass(frozen=True)
class PlaceInSeries:
    """Counted without what was cancelled; `number` is None for such a one itself."""

    number: int | None
    count: int
    before: RecordingSession | None
    after: RecordingSession | None
    verbs: list[Verb]


def place_in_series(session: RecordingSession, *, among: QuerySet) -> PlaceInSeries | None:
    """None for a session of no series; of the others, those in `among`. One query."""
    if not session.series_id:
        return None
    others = among.filter(series=session.series_id).exclude(status=Status.CANCELLED)
    dates = list(others.only("starts_at", "ends_at"))
    earlier = [each for each in dates if _order(each) < _order(session)]
    later = [each for each in dates if _order(each) > _order(session)]
    to_come = session.ends_at > timezone.now()
    return PlaceInSeries(
        number=len(earlier) + 1 if session in dates else None,
        count=len(dates),
        before=earlier[-1] if earlier else None,
        after=later[0] if later else None,
        verbs=[verb for verb in Verb if to_come and is_possible(verb, session)],
    )


def verb_for_rest(session: RecordingSession, to: str) -> Verb | None:
    """What takes this session and the later ones of its series to a status; None in no series."""
    verbs = [verb for verb, leads_to in LEADS_TO.items() if leads_to == to]
    return next((verb for verb in verbs if session.series_id and is_possible(verb, session)), None)


def _order(session: RecordingSession) -> tuple:
    return session.starts_at, session.pk
