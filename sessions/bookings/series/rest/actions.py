from collections.abc import Mapping

from gear.acting import action
from sessions.bookings.actions import move_session, set_status
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Series
from sessions.bookings.races import locked
from sessions.bookings.series.rest.changes import LEADS_TO, Change
from sessions.bookings.series.rest.dates import RestDate, dates_of_rest, in_order
from sessions.bookings.telling import telling

CHANGED_MEANWHILE = "Somebody changed some of these dates meanwhile, so nothing was saved. Now:"


@action
def change_rest(
    series: Series, *, change: Change, chosen: Mapping[int, int], by
) -> list[RecordingSession]:
    """Change the chosen sessions of the series, given by key and the version that was seen: all of
    them, or none. Whom they concern is told of all of them in one letter.

    Raises BookingRefused where one cannot be changed so, or was changed by somebody else meanwhile.
    """
    sessions = _locked_sessions(series, chosen)
    if changed := [each for each in sessions if each.version != chosen[each.pk]]:
        raise BookingRefused(
            [CHANGED_MEANWHILE, *(f"{each.period_in_words}: {each.standing}." for each in changed)]
        )
    dates = dates_of_rest(sessions, change, chosen=chosen)
    if not chosen or len(dates) < len(chosen):
        raise BookingRefused("Tick at least one of the dates, and only such as can be changed so.")
    if refused := [each for each in dates if each.in_the_way]:
        raise BookingRefused(
            f"{len(refused)} of the {len(dates)} ticked dates cannot be changed so, and nothing "
            "was: untick them, or resolve the conflicts beside them."
        )
    with telling(by=by):
        return [_changed(each, change, by=by) for each in in_order(dates)]


def _locked_sessions(series: Series, chosen: Mapping[int, int]) -> list[RecordingSession]:
    """As they are once nobody else can change them: the sessions, then all that they take."""
    sessions = RecordingSession.objects.filter(series=series, pk__in=chosen)
    rows = list(sessions.order_by("pk").select_for_update(no_key=True))
    locked({each.resource for row in rows for each in row.reservations.for_list()})
    return list(sessions.for_list())


def _changed(date: RestDate, change: Change, *, by) -> RecordingSession:
    session = date.session
    if not change.move:
        to = LEADS_TO[change.verb]
        return set_status(session, to=to, queue_behind=change.queue_behind, by=by)
    starts_at, ends_at = date.period
    return move_session(
        session,
        starts_at=starts_at,
        ends_at=ends_at,
        queue_behind=change.queue_behind,
        all_the_same=change.all_the_same,
        by=by,
    )
