"""Choose what a session is charged by, and issue its papers: each in one transaction."""

from datetime import date

from django.core.exceptions import ValidationError
from django.utils.formats import date_format

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.bookings.models import RecordingSession, Status
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.session_costs import SessionCosts
from sessions.rooms.models import HouseRules
from sessions.terms.price_words import lines_in_figures, rules_in_words, sums_in_figures
from sessions.terms.pricing import Price


class PaperRefused(ValidationError):
    """A quote or work order that cannot be issued; the message says what is missing."""


@action
def choose_terms(session: RecordingSession, *, version: int, by, **facts) -> RecordingSession:
    """Rate card, cancellation terms and discount. Raises EditedMeanwhile when somebody saved the
    session after `version`."""
    claim_version(session, version)
    session.refresh_from_db()
    set_facts(session, **facts)
    session.save()
    return session


@action
def issue_paper(
    session: RecordingSession, *, kind: str, by, note: str = "", valid_until: date | None = None
) -> MoneyPaper:
    """The next quote (planned hours) or work order (actual hours) of the session.

    Raises PaperRefused without a price for everything, for a work order of a session that is not
    wrapped, and for a paper that says what the newest of its kind says already.
    """
    HouseRules.current()
    HouseRules.objects.select_for_update().get(pk=1)  # one at a time, so that numbers have no gap
    session = RecordingSession.objects.for_list().get(pk=session.pk)
    costs = SessionCosts(session)
    price = _price_of(costs, kind)
    paper = MoneyPaper(
        kind=kind,
        number=1 + MoneyPaper.objects.filter(kind=kind).count(),
        session=session,
        issued_by=by,
        currency=price.currency,
        lines=lines_in_figures(price),
        as_issued=_said(costs, price, kind),
        net=price.net,
        tax=price.tax,
        total=price.total,
        deposit=price.deposit,
        valid_until=valid_until,
        note=note,
    )
    if any(_is_the_same(paper, each) for each in costs.papers[:1] if each.kind == kind):
        raise PaperRefused(
            f"{costs.papers[0]} says exactly this already, so nothing new was issued."
        )
    paper.save(force_insert=True)
    return paper


def _price_of(costs: SessionCosts, kind: str) -> Price:
    """Raises PaperRefused where the price is not known in every line."""
    if costs.card is None:
        raise PaperRefused("Choose a rate card first: there is no price without one.")
    price = costs.planned_price
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
        "hours": [
            [date_format(each.day), each.planned, *_worked(each, work_order)]
            for each in costs.hours
            if work_order or each.planned != "none"
        ],
        "waiting": costs.waiting_in_words if work_order else "",
        "sums": sums_in_figures(price),
        "rules": rules_in_words(costs.card),
        "cancellation": [] if work_order else costs.cancellation_in_words,
    }


def _worked(day, work_order: bool) -> list[str]:
    return [day.actual, day.difference] if work_order else []


def _is_the_same(one: MoneyPaper, other: MoneyPaper) -> bool:
    fields = ("lines", "as_issued", "net", "tax", "total", "deposit", "valid_until", "note")
    return all(getattr(one, field) == getattr(other, field) for field in fields)
