"""Approve overtime and void what was approved: each in one transaction."""

from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.utils import timezone

from gear.acting import action
from sessions.bookings.actions import move_session
from sessions.bookings.models import RecordingSession, Status
from sessions.money.overtime.models import Overtime
from sessions.money.overtime.price import agreed_until, extra_price
from sessions.money.overtime.statements import overtime_statement
from sessions.money.session_costs import SessionCosts
from sessions.signing.forms import READ_AGAIN
from sessions.signing.models import sign
from sessions.signing.statement import Statement

LONGEST = timedelta(hours=24)
GOES_ON = {Status.CONFIRMED, Status.UNDER_WAY}  # while it does, overtime lengthens the booking


class OvertimeRefused(ValidationError):
    """Overtime that cannot be approved or voided; the message says what to do."""


def check_overtime(session: RecordingSession, starts_at: datetime, ends_at: datetime) -> None:
    """Raises OvertimeRefused."""
    if session.status not in {*GOES_ON, Status.WRAPPED}:
        raise OvertimeRefused(
            f"The session is {session.get_status_display().lower()}: overtime is approved in one "
            "that is confirmed, under way or wrapped."
        )
    if ends_at <= starts_at:
        raise OvertimeRefused(
            {
                "ends_at": "The overtime ends after the agreed time. Over midnight, enter the next day."
            }
        )
    if ends_at - starts_at > LONGEST:
        raise OvertimeRefused(
            {"ends_at": "Overtime is at most 24 hours. Book more time as a session."}
        )


def start_of_overtime(session: RecordingSession, *, replaces: Overtime | None = None) -> datetime:
    """Where the next overtime begins: at the end of the agreed time. One query."""
    return replaces.starts_at if replaces else agreed_until(session, session.overtime.all())


@action
def approve_overtime(
    session: RecordingSession,
    *,
    ends_at: datetime,
    read: Statement,
    signature: dict,
    replaces: Overtime | None = None,
    by,
) -> Overtime:
    """Overtime from the end of the agreed time, signed by the client under what they `read`.

    A session that is not wrapped is lengthened, so that nobody else is given the time; `replaces`
    is void from then on. Raises OvertimeRefused, also where `read` is no longer what it would say,
    and ClashError where the time is taken.
    """
    session = _locked(session)
    if replaces:
        _void(replaces, reason="Approved anew", by=by)
    starts_at = start_of_overtime(session, replaces=replaces)
    check_overtime(session, starts_at, ends_at)
    costs = SessionCosts(session)
    if overtime_statement(costs, starts_at, ends_at) != read:
        raise OvertimeRefused(READ_AGAIN)
    extra = extra_price(costs, starts_at, ends_at)
    is_priced = extra and not extra.unpriced
    overtime = Overtime.objects.create(
        session=session,
        starts_at=starts_at,
        ends_at=ends_at,
        signature=sign(read, **signature, on_behalf_of=str(session.project.client), by=by),
        currency=extra.currency if is_priced else "",
        total=extra.total if is_priced else None,
    )
    if session.status in GOES_ON and ends_at != session.ends_at:
        _end(session, ends_at, by=by)
    return overtime


@action
def void_overtime(overtime: Overtime, *, reason: str, by) -> Overtime:
    """Void the last overtime that stands. A session that is not wrapped gives back the time that is
    still to come; what was signed stays readable. Raises OvertimeRefused."""
    session = _locked(overtime.session)
    _void(overtime, reason=reason, by=by)
    back_to = max(overtime.starts_at, timezone.now().replace(second=0, microsecond=0))
    if session.status in GOES_ON and overtime.ends_at == session.ends_at > back_to:
        _end(session, back_to, by=by)
    return overtime


def _end(session: RecordingSession, ends_at: datetime, *, by) -> None:
    """Outside hours, too: the people are there."""
    move_session(session, starts_at=session.starts_at, ends_at=ends_at, all_the_same=True, by=by)


def _void(overtime: Overtime, *, reason: str, by) -> None:
    overtime.refresh_from_db()
    if overtime.is_void:
        raise OvertimeRefused("This overtime is void already.")
    if overtime.session.overtime.standing().filter(starts_at__gt=overtime.starts_at).exists():
        raise OvertimeRefused("More overtime was approved after it: void that first.")
    overtime.voided_at, overtime.voided_by, overtime.void_reason = timezone.now(), by, reason
    overtime.save(update_fields=["voided_at", "voided_by", "void_reason"])


def _locked(session: RecordingSession) -> RecordingSession:
    """Approvals of one session come one after the other, each seeing the one before."""
    RecordingSession.objects.select_for_update(no_key=True).get(pk=session.pk)
    loaded = RecordingSession.objects.for_list().select_related("rate_card", "cancellation_terms")
    return loaded.get(pk=session.pk)
