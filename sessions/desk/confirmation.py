"""What a client is given in writing: what is booked and when, on paper."""

from collections import Counter
from dataclasses import dataclass

from django.utils.formats import date_format

from gear.equipment.models import GearModel
from sessions.bookings.event import CONFIRMED, SAYS
from sessions.bookings.models import RecordingSession, Reservation, WorkedHours, standing_in_words
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.session_costs import SessionCosts
from sessions.terms.currencies import figures


@dataclass(frozen=True)
class Confirmation:
    session: RecordingSession
    kind: str
    says: str
    facts: tuple[tuple[str, str], ...]
    rooms: tuple[Reservation, ...]
    people: tuple[Reservation, ...]
    equipment: tuple[tuple[GearModel, int], ...]  # how many units of each model
    hours: tuple[WorkedHours, ...]
    terms: tuple[str, ...]
    price: tuple[tuple[str, str], ...]


def confirmation(session: RecordingSession) -> Confirmation:
    """In a constant number of queries, if the session comes from `for_list()`."""
    reserved = list(session.reservations.all())
    kind, says = SAYS.get(session.status, CONFIRMED)
    costs = SessionCosts(session)
    quote = next((each for each in costs.papers if each.kind == PaperKind.QUOTE), None)
    return Confirmation(
        session=session,
        kind=kind,
        says=says,
        facts=tuple(session_facts(session, reserved)),
        rooms=tuple(each for each in reserved if each.room_id and not each.missing),
        people=tuple(each for each in reserved if each.person_id and not each.missing),
        equipment=tuple(
            Counter(
                each.unit.model for each in reserved if each.unit_id and not each.missing
            ).items()
        ),
        hours=tuple(each for each in costs.worked_hours if each.kind == WorkedHours.Kind.PLANNED),
        terms=tuple(costs.cancellation_in_words),
        price=tuple(_price(quote)) if quote else (),
    )


def session_facts(session: RecordingSession, reserved: list[Reservation]) -> list[tuple[str, str]]:
    rank = max((each.rank or 1 for each in reserved), default=1)
    return [
        ("Client", f"{session.project.client}"),
        ("Project", session.project.name),
        ("Artist", session.project.artist),
        ("When", session.period_in_words),
        ("Length", session.duration_in_words),
        ("Status", standing_in_words(session.status, rank)),
    ]


def _price(quote: MoneyPaper) -> list[tuple[str, str]]:
    """The sums of the newest quote as it was issued."""
    sums = [
        ("Net", quote.net),
        ("Tax", quote.tax),
        (f"Total, {quote.currency}", quote.total),
        ("Deposit", quote.deposit),
    ]
    facts = [("Quote number", f"{quote.number}")]
    facts += [(name, figures(amount, quote.currency)) for name, amount in sums]
    if quote.valid_until:
        facts.append(("Valid until", date_format(quote.valid_until)))
    return facts
