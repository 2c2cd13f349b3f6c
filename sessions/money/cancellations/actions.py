"""Cancel what is confirmed, with the charge that this costs: fixed in the same transaction."""

from collections.abc import Mapping
from decimal import Decimal

from django.utils import timezone

from gear.acting import action
from sessions.bookings.actions import set_status
from sessions.bookings.models import RecordingSession, Series, Status
from sessions.bookings.series.rest.actions import change_rest
from sessions.bookings.series.rest.changes import Change
from sessions.money.actions import next_number
from sessions.money.cancellations.drafting import as_agreed, by_terms
from sessions.money.drafting import PaperRefused
from sessions.money.models import MoneyPaper
from sessions.money.numbering import one_at_a_time
from sessions.money.session_costs import SessionCosts, charges_of_cancelling
from sessions.rooms.models import Studio
from sessions.terms.cancellation import Charge

LOADED = ("rate_card", "cancellation_terms")


@action
def cancel_session(session: RecordingSession, *, by) -> MoneyPaper | None:
    """Cancel it, and issue what its terms charge for that now, 0 too; None where it was not confirmed,
    or they do not give the charge. Refuses as `set_status`."""
    charges = _charges_now([session.pk])
    set_status(session, to=Status.CANCELLED, by=by)
    return next(iter(_issued(charges, by=by)), None)


@action
def cancel_rest(
    series: Series, *, change: Change, chosen: Mapping[int, int], by
) -> list[RecordingSession]:
    """Cancel the chosen sessions of the series, each with its charge. Refuses as `change_rest`."""
    charges = _charges_now(chosen)
    changed = change_rest(series, change=change, chosen=chosen, by=by)
    _issued(charges, by=by)
    return changed


@action
def agree_charge(session: RecordingSession, *, net: Decimal, why: str, by) -> MoneyPaper:
    """Another charge for its cancellation, before tax, in the place of any before. Raises PaperRefused
    for a session that is not cancelled."""
    one_at_a_time()
    session = RecordingSession.objects.for_list().select_related(*LOADED).get(pk=session.pk)
    if session.status != Status.CANCELLED:
        raise PaperRefused("The session is not cancelled any more, so nothing is charged for that.")
    return _issue(as_agreed(SessionCosts(session), net=net, why=why), by=by)


def _charges_now(keys) -> dict[int, Charge]:
    """What cancelling those of them that are confirmed costs, by their keys; they are locked, so that
    they stay so."""
    one_at_a_time()
    sessions = RecordingSession.objects.filter(pk__in=keys, status=Status.CONFIRMED)
    locked = list(
        sessions.order_by("pk").select_for_update(no_key=True).values_list("pk", flat=True)
    )
    confirmed = list(RecordingSession.objects.filter(pk__in=locked).for_list())
    return charges_of_cancelling(confirmed, timezone.now()) if confirmed else {}


def _issued(charges: Mapping[int, Charge], *, by) -> list[MoneyPaper]:
    known = {key: charge for key, charge in charges.items() if charge.amount is not None}
    sessions = RecordingSession.objects.for_list().select_related(*LOADED).filter(pk__in=known)
    return [_issue(by_terms(SessionCosts(each), known[each.pk]), by=by) for each in sessions]


def _issue(paper: MoneyPaper, *, by) -> MoneyPaper:
    paper.number = next_number(paper.kind)
    paper.issued_by = by
    paper.as_issued["studio"] = Studio.current().as_issued()
    paper.save(force_insert=True)
    return paper
