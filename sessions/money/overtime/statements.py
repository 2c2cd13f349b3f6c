"""What the client reads before they approve overtime: when, by which rates, and how much it is."""

from datetime import datetime, timedelta

from sessions.money.overtime.price import Extra, ExtraLine, extra_price
from sessions.money.session_costs import SessionCosts
from sessions.periods import duration_in_words, period_in_words
from sessions.signing.statement import Statement
from sessions.terms.currencies import figures, plain
from sessions.terms.models import RateCard


def overtime_statement(costs: SessionCosts, starts_at: datetime, ends_at: datetime) -> Statement:
    """`costs` are of a session that is loaded with project and client."""
    session = costs.session
    length = duration_in_words(ends_at - starts_at)
    extra = extra_price(costs, starts_at, ends_at)
    return Statement(
        title="Overtime",
        facts=(
            ("Session", f"{session}, {session.period_in_words}"),
            ("Project", f"{session.project}, {session.project.artist}"),
            ("Client", str(session.project.client)),
            ("Overtime", f"{period_in_words(starts_at, ends_at)} ({length})"),
            *_price(costs, extra),
        ),
        sentence=_sentence(extra),
    )


def _price(costs: SessionCosts, extra: Extra | None) -> list[tuple[str, str]]:
    if extra is None:
        return [("Price", "not stated, since no rate card is chosen")]
    currency = extra.currency
    facts = [(line.what, _line(line, currency)) for line in extra.lines]
    facts += [(what, "no rate on the rate card") for what in extra.unpriced]
    if extra.discount:
        percent = plain(costs.session.discount_percent)
        facts += [(f"Discount, {percent} %", _amount(-extra.discount, currency))]
    return [
        *facts,
        ("Surcharge", _surcharge(costs.card)),
        ("Net", _amount(extra.net, currency)),
        *((row.rate, _amount(row.tax, currency)) for row in extra.taxes),
        ("Total for the overtime", _amount(extra.total, currency)),
        ("Charged", _charged(costs.card)),
    ]


def _line(line: ExtraLine, currency: str) -> str:
    rates = "; ".join(f"{basis.lower()} {figures(rate, currency)}" for basis, rate in line.rates)
    return f"{_amount(line.amount, currency)} ({rates})"


def _surcharge(card: RateCard) -> str:
    if card.overtime_after_minutes is None:
        return "none on this rate card"
    after = duration_in_words(timedelta(minutes=card.overtime_after_minutes))
    return (
        f"{plain(card.overtime_percent)} % of the hourly rate for time beyond {after} on one day, "
        "included above"
    )


def _charged(card: RateCard) -> str:
    step = duration_in_words(timedelta(minutes=card.step_minutes))
    return f"the time that is worked, in steps of {step}"


def _sentence(extra: Extra | None) -> str:
    if extra is None or extra.unpriced:
        return (
            "I approve this overtime. What is not priced here is charged by the rates that the "
            "studio and the client agree."
        )
    return "I approve this overtime at this price."


def _amount(amount, currency: str) -> str:
    return f"{figures(amount, currency)} {currency}"
