"""What letters about sessions carry that bookings do not know: prices and papers.

`sessions/bookings/telling/enclosures.py` finds these by their names.
"""

from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.desk.stored import CALL_SHEET, CALL_SHEET_WITHOUT_PHONES, CONFIRMATION
from sessions.money.session_costs import SessionCosts
from sessions.terms.currencies import figures


def price_of(session: RecordingSession) -> tuple[tuple[str, str], ...]:
    """What a session costs, as its newest quote or else its rate card says; of one that is cancelled,
    what that costs. Nothing where that is not known."""
    costs = SessionCosts(RecordingSession.objects.for_list().get(pk=session.pk))
    if not session.takes_time:
        charge = costs.cancellation(timezone.now())
        return (("Cancellation charge", str(charge)),) if charge else ()
    price = costs.booked
    if price.fee is None:
        return ()
    facts = [("Price, tax included", price.fee)]
    if price.deposit:
        facts.append(("Of it as a deposit", price.deposit))
    return tuple(
        (label, f"{figures(amount, price.currency)} {price.currency}") for label, amount in facts
    )


def confirmation_pdf(key: int) -> bytes:
    return CONFIRMATION.to_send(key)


def call_sheet_pdf(key: int) -> bytes:
    return CALL_SHEET.to_send(key)


def call_sheet_without_phones_pdf(key: int) -> bytes:
    return CALL_SHEET_WITHOUT_PHONES.to_send(key)
