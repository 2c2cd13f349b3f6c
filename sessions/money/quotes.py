"""Whether the newest quote still says what is booked."""

from sessions.bookings.models import Status
from sessions.money.drafting import was_overtaken
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.session_costs import SessionCosts
from sessions.terms.currencies import figures

OPEN = {Status.ENQUIRY, Status.HELD, Status.CONFIRMED, Status.UNDER_WAY}


def newest_quote(costs: SessionCosts) -> MoneyPaper | None:
    return next((each for each in costs.papers if each.kind == PaperKind.QUOTE), None)


def quote_doubt(costs: SessionCosts) -> str:
    """What the newest quote no longer fits, beside the difference; empty where it does, or where what
    is booked is over. No query besides those of the costs."""
    quote, price = newest_quote(costs), costs.planned_price
    if quote is None or costs.session.status not in OPEN or not was_overtaken(quote, costs):
        return ""
    said = f"{quote} no longer fits what is booked"
    if price is None:
        return f"{said}: no rate card is chosen now."
    if price.unpriced:
        return f"{said}: some of that has no price now."
    if price.currency != quote.currency:
        return f"{said}: that is charged in {price.currency} now."
    more = price.total - quote.total
    if not more:
        return f"{said}: the total is the same, but hours or lines differ."
    amount = f"{figures(abs(more), price.currency)} {'more' if more > 0 else 'less'}"
    now = f"{figures(price.total, price.currency)} {price.currency}"
    return f"{said}: that comes to {now} now, {amount} than quoted."
