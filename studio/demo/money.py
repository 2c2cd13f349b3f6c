"""What the studio charges, invented like the rest: one card, two kinds of terms, a quote and work
orders."""

from datetime import timedelta

from django.utils import timezone

from gear.equipment.models import GearModel
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.worked_hours import write_hours
from sessions.clients.models import Client, Person
from sessions.money.actions import choose_terms, issue_paper
from sessions.money.cancellations.actions import cancel_session
from sessions.money.models import PaperKind
from sessions.rooms.models import Room
from sessions.terms.agreements.models import Agreement
from sessions.terms.models import (
    AppliesTo,
    Basis,
    CancellationTerms,
    ChargeOf,
    NoticeUnit,
    Rate,
    RateCard,
)
from studio.demo.days import as_of
from studio.models import User

RATES = {
    ("room", "Rope Floor"): {Basis.HOUR: "54.00", Basis.DAY: "465.00", Basis.LOCKOUT: "610.00"},
    ("room", "Bread Room"): {Basis.HOUR: "29.00", Basis.DAY: "245.00"},
    ("person", "Ulric Yarrell"): {Basis.HOUR: "31.00"},
    ("person", "Piran Tolle"): {Basis.HOUR: "18.00"},
}
HIRED_OUT = {
    "Weir": "32.00",
    "Tierce": "12.50",
}  # a session, by model; the rest comes with the room
CHOIR_DISCOUNT_PERCENT = 15
CALLED_OFF = "Carols, repairs"
BILLED = ["Carols, with organ", "1m1, strings", "1m4 and 2m2, strings", "Episode 2, voices"]


def fill_money() -> None:
    """Rates for everything that is booked, what the sessions are charged by, and their papers."""
    manager = User.objects.get(username="odile")
    card, terms = _card(), _terms()
    Agreement.objects.create(rate_card=card, cancellation_terms=terms, due_days=14)
    label = Client.objects.get(name="Thole & Ledger Records")
    Agreement.objects.create(client=label, due_days=30)
    for session in RecordingSession.objects.select_related("project"):
        is_choir = session.project.name == "A Winter Ledger"
        choose_terms(
            session,
            version=session.version,
            rate_card=card,
            cancellation_terms=terms,
            discount_percent=CHOIR_DISCOUNT_PERCENT if is_choir else 0,
            by=manager,
        )
    called_off = RecordingSession.objects.get(title=CALLED_OFF)
    with as_of(called_off.starts_at - timedelta(hours=22)):
        cancel_session(called_off, by=manager)
    _worked_hours(manager)
    issue_paper(
        RecordingSession.objects.get(title="Narration, reels one and two"),
        kind=PaperKind.QUOTE,
        by=manager,
        note="The line to the director is included.",
        valid_until=timezone.localdate() + timedelta(days=1),
    )
    for title in BILLED:
        session = RecordingSession.objects.get(title=title)
        with as_of(session.ends_at + timedelta(days=2)):
            issue_paper(session, kind=PaperKind.WORK_ORDER, by=manager)


def _card() -> RateCard:
    card = RateCard.objects.create(
        name="House rates",
        overtime_after_minutes=600,
        set_up_percent=50,
        note="By the hour up to the day’s rate.",
    )
    things = {"room": Room, "person": Person}
    for (kind, name), by_basis in RATES.items():
        thing = things[kind].objects.get(name=name)
        for basis, amount in by_basis.items():
            Rate.objects.create(card=card, basis=basis, amount=amount, **{kind: thing})
    for model in GearModel.objects.all():
        amount = HIRED_OUT.get(model.name, "0.00")
        Rate.objects.create(card=card, gear_model=model, basis=Basis.SESSION, amount=amount)
    return card


def _terms() -> CancellationTerms:
    terms = CancellationTerms.objects.create(
        name="House terms", grace_minutes=20, moving_is_free=True, files_after_payment=True
    )
    for kind, unit, at_least, below, percent, of in (
        (AppliesTo.HOURLY, NoticeUnit.HOURS, 72, None, 0, ChargeOf.FEE),
        (AppliesTo.HOURLY, NoticeUnit.HOURS, 0, 72, 40, ChargeOf.FEE),
        (AppliesTo.DAYS, NoticeUnit.DAYS, 21, None, 0, ChargeOf.FEE),
        (AppliesTo.DAYS, NoticeUnit.DAYS, 3, 10, 100, ChargeOf.DEPOSIT),
        (AppliesTo.DAYS, NoticeUnit.DAYS, 0, 3, 100, ChargeOf.FEE),
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
    """What was worked in the wrapped sessions: the band day ran over, and is still to be billed."""
    over = {"Band day": (timedelta(minutes=50), "Last song once more")}
    for session in RecordingSession.objects.filter(status=Status.WRAPPED):
        longer, note = over.get(session.title, (timedelta(), ""))
        write_hours(
            session,
            kind=WorkedHours.Kind.ACTUAL,
            starts_at=session.starts_at,
            ends_at=session.ends_at + longer,
            note=note,
            by=manager,
        )
