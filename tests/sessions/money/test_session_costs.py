"""What a session costs: its things at the card's rates, its hours, and what cancelling it costs."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from sessions.bookings.models import BlockKind, WorkedHours
from sessions.money.actions import issue_paper
from sessions.money.models import PaperKind
from sessions.money.session_costs import SessionCosts, cancellation_now, holidays_before
from sessions.terms.models import Basis
from tests.factories import (
    TEN_O_CLOCK,
    BlockFactory,
    CancellationStepFactory,
    CancellationTermsFactory,
    PersonFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UnitFactory,
    WorkedHoursFactory,
)
from tests.sessions.money.priced import loaded, priced_session, worked

pytestmark = pytest.mark.django_db

QUOTE, WORK_ORDER = PaperKind.QUOTE, PaperKind.WORK_ORDER

ACTUAL = WorkedHours.Kind.ACTUAL


def test_room_person_and_equipment_are_priced_and_a_units_own_rate_wins():
    session = priced_session()
    card = session.rate_card
    person = PersonFactory(bookable=True)
    own, of_model = UnitFactory(asset_tag="A-1"), UnitFactory(asset_tag="B-1")
    for thing in ({"person": person}, {"unit": own}, {"unit": of_model}):
        ReservationFactory(session=session, room=None, **thing)
    RateFactory(card=card, room=None, person=person, amount=30)
    RateFactory(card=card, room=None, unit=own, basis=Basis.SESSION, amount=12)
    for unit in (own, of_model):
        RateFactory(card=card, room=None, gear_model=unit.model, basis=Basis.SESSION, amount=20)

    price = SessionCosts(loaded(session)).planned_price

    assert [line.amount for line in price.lines] == [
        Decimal("180.00"),
        Decimal("120.00"),
        Decimal("12.00"),
        Decimal("20.00"),
    ]


def test_reserved_thing_without_a_rate_is_a_line_that_says_so():
    session = priced_session()
    ReservationFactory(session=session)

    price = SessionCosts(loaded(session)).planned_price

    assert [line.remark for line in price.unpriced] == [
        f"“{session.rate_card}” has no rate for it."
    ]


def test_lockout_bills_the_hours_planned_inside_it():
    session = priced_session(lockout=True, ends_at=TEN_O_CLOCK + timedelta(days=2))
    assert SessionCosts(session).planned_price.unpriced[0].remark == "No hours entered."

    for day in (0, 1):
        starts_at = session.starts_at + timedelta(days=day, hours=1)
        WorkedHoursFactory(
            session=session, starts_at=starts_at, ends_at=starts_at + timedelta(hours=8)
        )

    assert SessionCosts(loaded(session)).planned_price.gross == Decimal("720.00")


def test_lockout_rate_counts_the_days_that_the_room_is_kept():
    session = priced_session(lockout=True, ends_at=TEN_O_CLOCK + timedelta(days=2))
    session.rate_card.rates.update(basis=Basis.LOCKOUT, amount=500)

    assert SessionCosts(session).planned_price.gross == Decimal("1000.00")


@pytest.mark.parametrize(("late", "amount"), [(15, "180.00"), (16, "180.00"), (75, "180.00")])
def test_late_client_pays_from_the_booked_start_beyond_the_grace(late, amount):
    """16 min late and more: four hours. 15 min: 3 h 45 min, billed as four hours by the half hour."""
    session = priced_session(cancellation_terms=CancellationTermsFactory(grace_minutes=15))
    worked(session, late=timedelta(minutes=late))

    costs = SessionCosts(loaded(session))

    assert costs.actual_price.gross == Decimal(amount)
    assert bool(costs.waiting_in_words) == (late > 15)


def test_without_terms_only_the_worked_hours_count():
    session = priced_session()
    worked(session, late=timedelta(hours=1))

    costs = SessionCosts(loaded(session))

    assert (costs.actual_price.gross, costs.waiting_in_words) == (Decimal("135.00"), "")


def test_hours_stand_beside_each_other_by_day():
    session = priced_session()
    worked(session, hours=5)
    next_day = session.starts_at + timedelta(days=1)
    WorkedHoursFactory(
        session=session, kind=ACTUAL, starts_at=next_day, ends_at=next_day + timedelta(hours=1)
    )

    hours = SessionCosts(session).hours

    assert [(each.planned, each.actual, each.difference) for each in hours] == [
        ("4 h", "5 h", "1 h more"),
        ("none", "1 h", "1 h more"),
    ]


def test_charge_is_of_the_newest_quote(manager):
    """The quote says 216.00; the card has changed since."""
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = priced_session(cancellation_terms=step.terms)
    issue_paper(session, kind=QUOTE, by=manager)
    session.rate_card.rates.update(amount=90)

    assert cancellation_now(loaded(session)).amount == Decimal("108.00")


def test_charge_is_of_todays_price_without_a_quote():
    step = CancellationStepFactory(notice_below=None, percent=100)
    session = priced_session(cancellation_terms=step.terms)

    assert cancellation_now(session).amount == Decimal("216.00")


def test_charge_is_not_guessed_without_a_price():
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = loaded(RecordingSessionFactory(cancellation_terms=step.terms))

    assert cancellation_now(session).remark == (
        "50 % of the fee, but the session’s price is not known."
    )


def test_holidays_are_the_days_that_their_blocks_touch():
    day = datetime(2026, 5, 24, 23, tzinfo=UTC)  # midnight in London
    BlockFactory(kind=BlockKind.HOLIDAY, starts_at=day, ends_at=day + timedelta(days=2))
    BlockFactory(
        kind=BlockKind.HOLIDAY, starts_at=day, ends_at=day + timedelta(days=9), removed=True
    )
    BlockFactory(kind=BlockKind.MAINTENANCE, starts_at=day, ends_at=day + timedelta(days=9))

    assert holidays_before(TEN_O_CLOCK) == {date(2026, 5, 25), date(2026, 5, 26)}
