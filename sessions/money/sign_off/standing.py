"""Whether what a client signed still says what is charged."""

from dataclasses import dataclass

from sessions.money.drafting import OVERTAKEN, was_overtaken
from sessions.money.models import MoneyPaper, OrderSignature, PaperKind
from sessions.money.overtime.models import Overtime
from sessions.money.overtime.price import extra_price
from sessions.money.session_costs import SessionCosts
from sessions.terms.currencies import figures


@dataclass(frozen=True)
class StandingOrder:
    """The newest work order of a session. `why_void` is empty while it says what is charged."""

    paper: MoneyPaper
    signed: OrderSignature | None
    why_void: str


def standing_order(costs: SessionCosts) -> StandingOrder | None:
    """None before one is issued. No query besides those of the costs."""
    paper = next((each for each in costs.papers if each.kind == PaperKind.WORK_ORDER), None)
    if paper is None:
        return None
    why = f"{OVERTAKEN} {paper} was issued." if was_overtaken(paper, costs) else ""
    return StandingOrder(paper, getattr(paper, "signed", None), why)


def with_doubts(costs: SessionCosts) -> list[tuple[Overtime, str]]:
    """Each overtime with what has become untrue since it was approved; empty where nothing has."""
    return [(each, "" if each.is_void else _doubt(costs, each)) for each in costs.overtime]


def _doubt(costs: SessionCosts, overtime: Overtime) -> str:
    session = costs.session
    if not session.starts_at < overtime.starts_at <= session.ends_at:
        return "The session was moved after this was approved: void it."
    extra = extra_price(costs, overtime.starts_at, overtime.ends_at)
    if extra is None or extra.unpriced:
        if overtime.total is None:
            return ""
        return "The rate card no longer has a price for it: choose one, or have it approved anew."
    if overtime.total is None:
        return f"Approved without a price; it costs {_amount(extra)} now. Have it approved anew."
    if (extra.total, extra.currency) != (overtime.total, overtime.currency):
        return (
            f"Approved at {overtime.price_in_words}; it costs {_amount(extra)} now, since rates or "
            "hours were changed. Have it approved anew."
        )
    return ""


def _amount(extra) -> str:
    return f"{figures(extra.total, extra.currency)} {extra.currency}"
