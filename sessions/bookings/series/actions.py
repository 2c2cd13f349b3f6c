from collections.abc import Collection

from gear.acting import action
from sessions.bookings.actions import book_session
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Series
from sessions.bookings.races import locked
from sessions.bookings.series.dates import SeriesDate, dates_by_rule, with_what_is_in_the_way
from sessions.bookings.series.rules import Rule
from sessions.bookings.telling import telling
from sessions.rooms.resources import by_kind


@action
def book_series(
    session: RecordingSession,
    *,
    rule: Rule,
    chosen: Collection[str],
    status: str,
    queue_behind: bool = False,
    all_the_same: bool = False,
    by,
) -> Series:
    """Repeat a session on the chosen dates of the rule, given by their keys: all of them, or none.

    What it takes, its padding and its terms are repeated; planned hours and what was left to do are
    not. Raises BookingRefused where a chosen date cannot be booked, RuleRefused as `dates_by_rule`.
    """
    session = RecordingSession.objects.select_for_update(of=("self",), no_key=True).get(
        pk=session.pk
    )
    if session.series_id:
        raise BookingRefused(f"{session} is part of a series already.")
    paddings = {each.resource: each.padding for each in session.reservations.for_list()}
    locked(paddings)
    dates = dates_by_rule(session, rule, paddings.values())
    dates = with_what_is_in_the_way(dates, paddings, lockout=session.lockout)
    how = {"status": status, "queue_behind": queue_behind, "all_the_same": all_the_same}
    dates = _chosen(dates, chosen, how)

    series = Series.objects.create(rule=str(rule), made_by=by)
    _join(session, series)
    with telling(by=by):
        for date in dates:
            _repeat(session, date, series, paddings, how, by)
    return series


def _repeat(session, date: SeriesDate, series: Series, paddings: dict, how: dict, by) -> None:
    resources = by_kind(paddings)
    repeated = book_session(
        session.project,
        title=session.title,
        starts_at=date.period[0],
        ends_at=date.period[1],
        rooms=resources["room"],
        people=resources["person"],
        units=resources["unit"],
        lockout=session.lockout,
        padding=paddings,
        note=session.note,
        rate_card=session.rate_card,
        cancellation_terms=session.cancellation_terms,
        discount_percent=session.discount_percent,
        by=by,
        **how,
    )
    _join(repeated, series)


def _chosen(dates: list[SeriesDate], chosen: Collection[str], how: dict) -> list[SeriesDate]:
    """Raises BookingRefused for none, for one that is not of the series, and for what is in the way."""
    dates = [date for date in dates if date.key in chosen]
    if not dates or len(dates) < len(set(chosen)):
        raise BookingRefused("Tick at least one of the dates that the rule gives.")
    refused = [date for date in dates if date.in_the_way(**how)]
    if refused:
        raise BookingRefused(
            f"{len(refused)} of the {len(dates)} ticked dates cannot be booked, so "
            "nothing was booked: untick them, or resolve the conflicts beside them."
        )
    return dates


def _join(session: RecordingSession, series: Series) -> None:
    session.series = series
    session._change_reason = "one of a series"
    session.save()
