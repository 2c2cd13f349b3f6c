"""What is wanted would cost: in a few figures, beside the form."""

from dataclasses import dataclass

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Project
from sessions.money.wanted import price_of_wanted
from sessions.terms.agreements.agreed import agreed_with
from sessions.terms.currencies import figures
from sessions.terms.models import RateCard
from sessions.terms.price_words import lines_in_figures, sums_in_figures
from sessions.terms.prices import Price


@dataclass(frozen=True)
class WantedPrice:
    price: Price

    @property
    def total(self) -> str:
        return f"{figures(self.price.total, self.price.currency)} {self.price.currency}"

    @property
    def net(self) -> str:
        return figures(self.price.net, self.price.currency)

    @property
    def rows(self) -> list[tuple[str, str]]:
        """What and how much: the lines that cost something, then the sums."""
        costs = [
            (f"{line['what']}, {line['quantity']}", line["amount"])
            for line, each in zip(lines_in_figures(self.price), self.price.lines, strict=True)
            if each.amount
        ]
        return [*costs, *map(tuple, sums_in_figures(self.price))]

    @property
    def unpriced(self) -> list[str]:
        """What the card does not say, with the reason."""
        return [f"{line.what}: {line.remark}" for line in self.price.unpriced]


def wanted_price(
    project: Project | None,
    *,
    client: Client | None,
    session: RecordingSession | None,
    **wanted,
) -> WantedPrice | None:
    """None where no rate card is agreed, or the session that is edited has none. `wanted` is as
    `price_of_wanted` has it. Two queries, one more for the card of a client without a project."""
    card: RateCard | None = None
    if session:
        card = session.rate_card
        if card is None:
            return None
        wanted["discount_percent"] = session.discount_percent
    elif project is None and client:
        card = agreed_with(client).rate_card
    price = price_of_wanted(project, rate_card=card, **wanted)
    return price and WantedPrice(price)
