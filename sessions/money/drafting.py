"""What a quote or a work order would say now, before it is issued and after."""

from django.core.exceptions import ValidationError
from django.utils.formats import date_format

from sessions.bookings.models import Status
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.overtime.words import overtime_on_paper
from sessions.money.session_costs import SessionCosts
from sessions.terms.price_words import lines_in_figures, rules_in_words, sums_in_figures
from sessions.terms.prices import Price

CHARGED = ("currency", "net", "tax", "total", "deposit")
OF_A_LINE = ("what", "basis", "quantity", "rate", "amount", "remark")

OVERTAKEN = "Hours, rates or overtime were changed since"


class PaperRefused(ValidationError):
    """A quote or work order that cannot be issued; the message says what is missing."""


def drafted(costs: SessionCosts, kind: str) -> MoneyPaper:
    """The paper as it would be issued now, without number; not saved. Raises PaperRefused."""
    price = _price_of(costs, kind)
    return MoneyPaper(
        kind=kind,
        session=costs.session,
        currency=price.currency,
        lines=lines_in_figures(price),
        as_issued=_said(costs, price, kind),
        net=price.net,
        tax=price.tax,
        total=price.total,
        deposit=price.deposit,
    )


def was_overtaken(paper: MoneyPaper, costs: SessionCosts) -> bool:
    """Whether hours, rates or overtime changed since, so that another paper would be issued now. No
    query besides those of the costs."""
    try:
        price = _price_of(costs, paper.kind)
    except PaperRefused:
        return True
    said = _worked_for(costs, paper.kind)
    return (
        _of_lines(lines_in_figures(price)) != _of_lines(paper.lines)
        or any(getattr(price, field) != getattr(paper, field) for field in CHARGED)
        or any((words or []) != (paper.as_issued.get(key) or []) for key, words in said.items())
    )


def _of_lines(lines: list[dict[str, str]]) -> list[list[str]]:
    return [[line[name] for name in OF_A_LINE] for line in lines]


def _price_of(costs: SessionCosts, kind: str) -> Price:
    """Raises PaperRefused where the price is not known in every line."""
    if costs.card is None:
        raise PaperRefused("Choose a rate card first: there is no price without one.")
    price = costs.planned_price
    if kind == PaperKind.QUOTE and costs.session.status == Status.CANCELLED:
        raise PaperRefused("The session is cancelled: reopen it before you issue a quote.")
    if kind == PaperKind.WORK_ORDER:
        if costs.session.status != Status.WRAPPED:
            raise PaperRefused(
                f"The session is {costs.session.get_status_display().lower()}: wrap it "
                "before you issue a work order."
            )
        price = costs.actual_price
        if price is None:
            raise PaperRefused("Enter the hours worked first.")
    if not price.lines:
        raise PaperRefused("Nothing is reserved, so there is nothing to charge for.")
    if price.unpriced:
        missing = "; ".join(f"{line.what}: {line.remark}" for line in price.unpriced)
        raise PaperRefused(
            f"Some lines have no price. {missing} Enter a rate of 0 for what is free."
        )
    return price


def _said(costs: SessionCosts, price: Price, kind: str) -> dict:
    """The words of the paper, kept with it: what they were taken from may change later."""
    session = costs.session
    work_order = kind == PaperKind.WORK_ORDER
    facts = [
        ["Client", str(session.project.client)],
        ["Project", f"{session.project}, {session.project.artist}"],
        ["Session", session.title],
        ["Booked", session.period_in_words],
        ["Rate card", str(costs.card)],
    ]
    return {
        "facts": facts,
        **_worked_for(costs, kind),
        "sums": sums_in_figures(price),
        "taxes": [row.as_kept() for row in price.taxes],
        "rules": rules_in_words(costs.card),
        "cancellation": [] if work_order else costs.cancellation_in_words,
    }


def _worked_for(costs: SessionCosts, kind: str) -> dict:
    """Of what is said, that which the price comes from."""
    work_order = kind == PaperKind.WORK_ORDER
    return {
        "hours": [
            [date_format(each.day), each.planned, *_worked(each, work_order)]
            for each in costs.hours
            if work_order or each.planned != "none"
        ],
        "overtime": overtime_on_paper(costs) if work_order else [],
        "waiting": costs.waiting_in_words if work_order else "",
    }


def _worked(day, work_order: bool) -> list[str]:
    return [day.actual, day.difference] if work_order else []
