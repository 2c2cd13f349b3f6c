"""Sessions that were worked, with their papers."""

from decimal import Decimal

from sessions.bookings.models import Status
from sessions.money.actions import issue_paper
from sessions.money.models import MoneyPaper, PaperKind
from tests.sessions.money.priced import priced_session, worked


def work_order(*, by, hours=4, **facts) -> MoneyPaper:
    """45.00 an hour, 20 % tax: 180.00 and 36.00 for four hours."""
    session = priced_session(status=Status.WRAPPED, **facts)
    worked(session, hours=hours)
    return issue_paper(session, kind=PaperKind.WORK_ORDER, by=by)


def quote(*, by, **facts) -> MoneyPaper:
    """180.00 and 36.00 for four hours; a deposit of 108.00."""
    return issue_paper(priced_session(**facts), kind=PaperKind.QUOTE, by=by)


def wrapped(paper: MoneyPaper, *, by, hours=4) -> MoneyPaper:
    """The work order of the session that was quoted."""
    session = paper.session
    session.status = Status.WRAPPED
    session.save()
    worked(session, hours=hours)
    return issue_paper(session, kind=PaperKind.WORK_ORDER, by=by)


def sums(invoice) -> tuple[Decimal, Decimal, Decimal]:
    return invoice.net, invoice.tax, invoice.total


def money(*figures: str) -> tuple[Decimal, ...]:
    return tuple(Decimal(figure) for figure in figures)
