"""The charge of a cancellation that counts now."""

from django.utils.formats import date_format

from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.session_costs import SessionCosts


def standing_charge(costs: SessionCosts) -> MoneyPaper | None:
    """The newest, unless the session was reopened since. No query besides those of the costs."""
    charges = [each for each in costs.papers if each.kind == PaperKind.CANCELLATION]
    return next((each for each in charges[:1] if not each.was_taken_back), None)


def why_void(paper: MoneyPaper, newer: MoneyPaper | None) -> str:
    """What a charge says of itself once it is no longer asked for."""
    if newer:
        return f"{newer} was issued in its place on {date_format(newer.issued_at)}."
    return "The session was reopened since." if paper.was_taken_back else ""
