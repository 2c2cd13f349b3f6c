"""What letters about sessions carry that bookings do not know: prices and papers.

`sessions/bookings/telling/enclosures.py` finds these by their names.
"""

from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.desk.stored import CALL_SHEET, CALL_SHEET_WITHOUT_PHONES, CONFIRMATION
from sessions.money.session_costs import SessionCosts
from sessions.papers.pdf import render_pdf
from sessions.papers.stored.kinds import PaperKind
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
    return _pdf(CONFIRMATION, key)


def call_sheet_pdf(key: int) -> bytes:
    return _pdf(CALL_SHEET, key)


def call_sheet_without_phones_pdf(key: int) -> bytes:
    return _pdf(CALL_SHEET_WITHOUT_PHONES, key)


def _pdf(kind: PaperKind, key: int) -> bytes:
    """As the session stands when the letter goes; without the address of a page, which its reader may
    not be able to open."""
    session = kind.subjects.get(pk=key)
    return render_pdf(
        kind.template,
        kind.contents(session, "").context,
        title=kind.title(session),
        base_url="",
        printed_at=timezone.now(),
    )
