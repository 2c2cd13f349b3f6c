"""What a client is given in writing: what is booked and when, as a paper and for their calendar."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format
from icalendar import vCalAddress, vText

from gear.equipment.models import GearModel
from sessions.bookings.feeds.events import (
    STATUS_WORDS,
    calendar_of,
    new_event,
    padding_in_words,
    plain,
)
from sessions.bookings.feeds.names import name_of
from sessions.bookings.house.models import HouseRules
from sessions.bookings.models import (
    RecordingSession,
    Reservation,
    Status,
    WorkedHours,
    standing_in_words,
)
from sessions.bookings.money.cancellation import (
    step_charge_in_words,
    step_in_words,
    steps_for,
    terms_in_words,
)
from sessions.bookings.money.currencies import figures
from sessions.bookings.money.models import MoneyPaper, PaperKind
from sessions.bookings.money.session_costs import SessionCosts

# What the paper calls itself, and what it says first. Only what is confirmed is called so.
CONFIRMED = ("Confirmation", "This session is confirmed.")
SAYS = {
    Status.INQUIRY: ("Inquiry", "You asked for this time. Nothing is held for you yet."),
    Status.HELD: ("Hold", "This time is held for you. It is not confirmed yet."),
    Status.CANCELLED: ("Cancellation", "This session is cancelled. Nothing is booked any more."),
}


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
        facts=tuple(_facts(session, reserved)),
        rooms=tuple(each for each in reserved if each.room_id),
        people=tuple(each for each in reserved if each.person_id),
        equipment=tuple(Counter(each.unit.model for each in reserved if each.unit_id).items()),
        hours=tuple(each for each in costs.worked_hours if each.kind == WorkedHours.Kind.PLANNED),
        terms=tuple(_terms(costs)),
        price=tuple(_price(quote)) if quote else (),
    )


def _facts(session: RecordingSession, reserved: list[Reservation]) -> list[tuple[str, str]]:
    rank = max((each.rank or 1 for each in reserved), default=1)
    return [
        ("Client", f"{session.project.client}"),
        ("Project", session.project.name),
        ("Artist", session.project.artist),
        ("When", session.period_in_words),
        ("Length", session.duration_in_words),
        ("Status", standing_in_words(session.status, rank)),
    ]


def _terms(costs: SessionCosts) -> list[str]:
    if costs.terms is None:
        return []
    return [
        *(
            f"{step_in_words(step).capitalize()}: {step_charge_in_words(step)}."
            for step in steps_for(costs.terms.steps.all(), costs.booked)
        ),
        *terms_in_words(costs.terms),
    ]


def _price(quote: MoneyPaper) -> list[tuple[str, str]]:
    """The sums of the newest quote as it was issued."""
    sums = [
        ("Net", quote.net),
        ("Tax", quote.tax),
        (f"Total, {quote.currency}", quote.total),
        ("Deposit", quote.deposit),
    ]
    said = [("By our quote", f"number {quote.number}")]
    said += [(name, figures(amount, quote.currency)) for name, amount in sums]
    if quote.valid_until:
        said.append(("Valid until", date_format(quote.valid_until, "j F Y")))
    return said


def confirmation_ics(session: RecordingSession, *, now: datetime | None = None) -> bytes:
    """The session as a published event (RFC 5546, section 3.2.1), to attach or to download.

    The same UID each time and a SEQUENCE that rises, so that a calendar replaces what it had. The
    house is the ORGANIZER where its rules name a sender; that standard wants one. For the client:
    no price, no note, nobody's phone number.
    """
    house = HouseRules.current()
    reserved = list(session.reservations.for_list())
    rooms = [each for each in reserved if each.room_id]
    event = new_event(
        uid=name_of(session, house.calendar_namespace),
        changed_at=now or timezone.now(),
        sequence=session.version - 1,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        summary=f"{session.title}: {session.project.artist}",
        location=", ".join([*(each.room.name for each in rooms), settings.STUDIO_NAME]),
        description=[
            f"{session.project.name}, {session.project.artist}",
            SAYS.get(session.status, CONFIRMED)[1],
            *(
                f"{each.room}: {words[0].lower()}{words[1:]}"
                for each in rooms
                for words in padding_in_words(each)
            ),
        ],
        status=STATUS_WORDS.get(session.status, "CONFIRMED"),
        busy=session.takes_time,
    )
    if house.sender:
        organizer = vCalAddress(f"mailto:{house.sender}")
        organizer.params["CN"] = vText(plain(settings.STUDIO_NAME))
        event.add("organizer", organizer)
    return calendar_of([event], method="PUBLISH")
