"""What Quay Steps charges, invented like the rest: one card, two kinds of terms, one quote."""

from datetime import timedelta

from django.utils import timezone

from gear.equipment.models import GearModel
from sessions.bookings.models import RecordingSession, WorkedHours
from sessions.bookings.worked_hours import write_hours
from sessions.clients.models import Person
from sessions.money.actions import choose_terms, issue_paper
from sessions.money.models import PaperKind
from sessions.rooms.models import Room
from sessions.terms.models import (
    AppliesTo,
    Basis,
    CancellationTerms,
    ChargeOf,
    NoticeUnit,
    Rate,
    RateCard,
)
from studio.models import User

RATES = {
    ("room", "Rope Floor"): {Basis.HOUR: "48.00", Basis.DAY: "420.00", Basis.LOCKOUT: "560.00"},
    ("room", "Bread Room"): {Basis.HOUR: "32.00", Basis.DAY: "280.00"},
    ("person", "Ulric Yarrell"): {Basis.HOUR: "28.00"},
    ("person", "Piran Tolle"): {Basis.HOUR: "16.50"},
}
VALVE_MICROPHONE = "Weir 12"


def fill_money() -> None:
    """Rates for everything that is booked, and what the sessions are charged by."""
    manager = User.objects.get(username="odile")
    card, terms = _card(), _terms()
    for session in RecordingSession.objects.all():
        choose_terms(
            session,
            version=session.version,
            rate_card=card,
            cancellation_terms=terms,
            discount_percent=10 if session.title == "Group vocals" else 0,
            by=manager,
        )
    _worked_hours(manager)
    issue_paper(
        RecordingSession.objects.get(title="Concertina"),
        kind=PaperKind.QUOTE,
        by=manager,
        note="The kettle is on the house.",
        valid_until=timezone.localdate() + timedelta(days=1),
    )


def _card() -> RateCard:
    card = RateCard.objects.create(
        name="House rates", overtime_after_minutes=600, note="From the start of this year."
    )
    things = {"room": Room, "person": Person}
    for (kind, name), by_basis in RATES.items():
        thing = things[kind].objects.get(name=name)
        for basis, amount in by_basis.items():
            Rate.objects.create(card=card, basis=basis, amount=amount, **{kind: thing})
    for model in GearModel.objects.all():
        amount = "35.00" if model.name == VALVE_MICROPHONE else "0.00"
        Rate.objects.create(card=card, gear_model=model, basis=Basis.SESSION, amount=amount)
    return card


def _terms() -> CancellationTerms:
    terms = CancellationTerms.objects.create(
        name="House terms", grace_minutes=15, moving_is_free=True, files_after_payment=True
    )
    for kind, unit, at_least, below, percent, of in (
        (AppliesTo.HOURLY, NoticeUnit.HOURS, 48, None, 0, ChargeOf.FEE),
        (AppliesTo.HOURLY, NoticeUnit.HOURS, 0, 48, 50, ChargeOf.FEE),
        (AppliesTo.DAYS, NoticeUnit.DAYS, 14, None, 0, ChargeOf.FEE),
        (AppliesTo.DAYS, NoticeUnit.DAYS, 2, 8, 100, ChargeOf.DEPOSIT),
        (AppliesTo.DAYS, NoticeUnit.DAYS, 0, 2, 100, ChargeOf.FEE),
    ):
        terms.steps.create(
            applies_to=kind,
            notice_unit=unit,
            notice_from=at_least,
            notice_below=below,
            percent=percent,
            charge_of=of,
        )
    return terms


def _worked_hours(manager: User) -> None:
    """The wrapped session ran over; its work order is still to be issued."""
    session = RecordingSession.objects.get(title="Lead vocal and fiddle")
    write_hours(
        session,
        kind=WorkedHours.Kind.ACTUAL,
        starts_at=session.starts_at,
        ends_at=session.ends_at + timedelta(hours=1, minutes=40),
        note="Second fiddle pass",
        by=manager,
    )
