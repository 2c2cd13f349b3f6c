"""What a session's page says of its money."""

from dataclasses import dataclass
from functools import cached_property

from sessions.bookings.models import RecordingSession, Status
from sessions.money.cancellations.standing import standing_charge
from sessions.money.quotes import quote_doubt
from sessions.money.session_costs import SessionCosts
from sessions.terms.currencies import figures
from sessions.terms.prices import Price


@dataclass
class MoneyAtAGlance:
    """Nothing is asked of the database before one of its words is. `session` comes from `for_list()`."""

    session: RecordingSession

    @cached_property
    def costs(self) -> SessionCosts:
        return SessionCosts(self.session)

    @cached_property
    def price(self) -> str:
        """Of the hours worked, or else of those planned; of a cancelled session, its charge."""
        if self.session.status == Status.CANCELLED:
            charge = standing_charge(self.costs)
            return f"{charge}: {_amount(charge.total, charge.currency)}" if charge else ""
        price = self.costs.actual_price or self.costs.planned_price
        return _in_words(price) if price else "no rate card"

    @cached_property
    def doubt(self) -> str:
        return quote_doubt(self.costs)


def _in_words(price: Price) -> str:
    if not price.unpriced:
        return _amount(price.total, price.currency)
    if not price.priced:
        return "no price yet"
    return f"{_amount(price.total, price.currency)} and {len(price.unpriced)} without a price"


def _amount(total, currency: str) -> str:
    return f"{figures(total, currency)} {currency}"
