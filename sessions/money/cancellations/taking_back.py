"""What becomes of the charge when a cancelled session is reopened."""

from sessions.bookings.models import RecordingSession, Status
from sessions.money.cancellations.standing import standing_charge
from sessions.money.invoices.billing import billed_by
from sessions.money.models import MoneyPaper
from sessions.money.session_costs import SessionCosts


def taken_back_with(session: RecordingSession) -> str:
    """A sentence of the charge that becomes void; empty where there is none. Up to three queries."""
    if session.status != Status.CANCELLED:
        return ""
    charge = standing_charge(SessionCosts(session))
    if charge is None:
        return ""
    line = billed_by(MoneyPaper.objects.filter(pk=charge.pk)).get(charge.pk)
    billed = f" {line.invoice} bills it: issue a credit note for that." if line else ""
    return f"{charge} becomes void.{billed}"
