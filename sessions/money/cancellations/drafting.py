"""The paper of what a cancellation costs: fixed when it is cancelled, or agreed afterwards."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from sessions.money.drafting import PaperRefused
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.session_costs import SessionCosts
from sessions.periods import moment_in_words
from sessions.rooms.models import HouseRules
from sessions.terms.cancellation import Charge
from sessions.terms.cancellation_words import (
    notice_in_words,
    step_charge_in_words,
    terms_in_words,
)
from sessions.terms.currencies import figures, plain, rounded
from sessions.terms.models import ChargeOf
from sessions.terms.taxes import TaxRow, tax_on, taxes_of


def by_terms(costs: SessionCosts, charge: Charge) -> MoneyPaper:
    """As the terms charge it, whose amount is known. `costs` are of the cancelled session."""
    [step] = charge.span.charges.values()
    currency = charge.currency or HouseRules.current().currency  # none of what is free
    of = f"of the {ChargeOf(step.charge_of).value} before tax"
    lines = [
        _line(
            part.taxed,
            currency,
            basis=of,
            quantity=f"{plain(part.percent)} %",
            rate=part.of,
            several=len(charge.parts) > 1,
        )
        for part in charge.parts
    ]
    words = charge.span.words
    notice = words.capitalize() if words == notice_in_words("", "") else f"Notice of {words}"
    said = f"{notice}: {step_charge_in_words(step)}."
    return _paper(costs, currency, [part.taxed for part in charge.parts], lines, said)


@dataclass(frozen=True)
class Taxed:
    """How what is agreed is taxed: as the session's fee, or as the house taxes."""

    currency: str
    rows: tuple[TaxRow, ...]


def taxed_as(costs: SessionCosts) -> Taxed:
    if any(row.net for row in costs.booked.taxes):
        return Taxed(costs.booked.currency, costs.booked.taxes)
    said = costs.card or HouseRules.current()
    row = TaxRow(said.tax_name, said.tax_percent, Decimal(1), Decimal(0))
    return Taxed(costs.booked.currency or said.currency, (row,))


def as_agreed(costs: SessionCosts, *, net: Decimal, why: str) -> MoneyPaper:
    """Another charge than the terms say, before tax: shared out over the rates of tax as the fee is;
    what rounding leaves goes with the last. Raises PaperRefused."""
    taxed = taxed_as(costs)
    currency = taxed.currency
    if rounded(net, currency) != net:
        raise PaperRefused(f"{currency} has no smaller unit: enter a whole amount.")
    rows, left = [row for row in taxed.rows if row.net], net
    whole = sum(row.net for row in rows)
    shares = []
    for row in rows[:-1]:
        shares.append(rounded(net * row.net / whole, currency))
        left -= shares[-1]
    charged = [
        TaxRow(row.name, row.percent, share, tax_on(share, row.percent, currency))
        for row, share in zip(rows, [*shares, left], strict=True)
    ]
    lines = [
        _line(
            row, currency, basis="as agreed", quantity="once", rate=row.net, several=len(rows) > 1
        )
        for row in charged
    ]
    return _paper(costs, currency, charged, lines, f"As agreed: {why}")


def _line(taxed: TaxRow, currency: str, *, basis: str, quantity: str, rate, several: bool) -> dict:
    return {
        "what": "Cancellation",
        "basis": f"{basis}; {taxed.name} {plain(taxed.percent)} %" if several else basis,
        "quantity": quantity,
        "rate": figures(rate, currency),
        "amount": figures(taxed.net, currency),
        "remark": "",
        "kind": "",
    }


def _paper(
    costs: SessionCosts, currency: str, charged: Iterable[TaxRow], lines: list[dict], said: str
) -> MoneyPaper:
    session = costs.session
    taxes = taxes_of([(row.name, row.percent, row.net) for row in charged], currency)
    net = sum((row.net for row in taxes), Decimal(0))
    tax = sum((row.tax for row in taxes), Decimal(0))
    sums = [["Net", net], *([row.rate, row.tax] for row in taxes if row.name)]
    sums += [[f"Total, {currency}", net + tax]]
    return MoneyPaper(
        kind=PaperKind.CANCELLATION,
        session=session,
        currency=currency,
        lines=lines,
        net=net,
        tax=tax,
        total=net + tax,
        as_issued={
            "facts": [
                ["Client", str(session.project.client)],
                ["Project", f"{session.project}, {session.project.artist}"],
                ["Session", session.title],
                ["Booked", session.period_in_words],
                ["Cancelled", moment_in_words(session.status_since)],
                ["Cancellation terms", str(costs.terms or "none")],
            ],
            "hours": [],
            "why": said,
            "sums": [[name, figures(amount, currency)] for name, amount in sums],
            "taxes": [row.as_kept() for row in taxes],
            "rules": [],
            "cancellation": terms_in_words(costs.terms) if costs.terms else [],
        },
    )
