"""What overtime costs: the price with it less the price without it, worked out by hand."""

from datetime import timedelta
from decimal import Decimal

import pytest

from sessions.bookings.models import Status
from sessions.money.overtime.price import agreed_until, extra_price, worked_without_approval
from sessions.money.session_costs import SessionCosts
from sessions.terms.models import Basis
from tests.factories import (
    OvertimeFactory,
    PersonFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
)
from tests.sessions.money.priced import loaded, priced_session, worked

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def extra(session, hours=2):
    return extra_price(
        SessionCosts(loaded(session)), session.ends_at, session.ends_at + hours * HOUR
    )


def test_two_hours_more_cost_two_hours():
    """2 × 45.00 = 90.00, 20 % tax 18.00."""
    more = extra(priced_session())

    assert [(line.amount, line.rates) for line in more.lines] == [
        (Decimal("90.00"), (("By the hour", Decimal("45.00")),))
    ]
    assert (more.net, sum(each.tax for each in more.taxes), more.total) == (
        Decimal("90.00"),
        Decimal("18.00"),
        Decimal("108.00"),
    )


def test_surcharge_begins_within_the_overtime():
    """9 h booked and 3 h more, overtime after 10 h at 50 %: 3 × 45.00 + 2 × 22.50 = 180.00."""
    session = priced_session()
    session.ends_at = session.starts_at + 9 * HOUR
    session.save()

    assert extra(session, hours=3).net == Decimal("180.00")


def test_day_rate_that_applies_from_then_on_makes_it_cheaper():
    """8 h at 45.00 are 360.00; with 2 h more the day rate of 400.00 applies: 40.00 more."""
    session = priced_session()
    session.ends_at = session.starts_at + 8 * HOUR
    session.save()
    RateFactory(
        card=session.rate_card,
        room=session.reservations.get().room,
        basis=Basis.DAY,
        amount=Decimal("400.00"),
    )

    assert extra(session).net == Decimal("40.00")


def test_overtime_after_midnight_belongs_to_the_day_before():
    """Booked 20:00 to midnight (UK), one hour more: one hour, not the minimum of two of a new day."""
    session = priced_session()
    shift = 9 * HOUR  # from 11:00 to 20:00 on the studio's clock
    type(session).objects.filter(pk=session.pk).update(
        starts_at=session.starts_at + shift, ends_at=session.ends_at + shift
    )

    assert extra(loaded(session), hours=1).net == Decimal("45.00")


def test_started_step_counts_in_full():
    """20 minutes are billed as 30: 22.50."""
    assert extra(priced_session(), hours=1 / 3).net == Decimal("22.50")


def test_discount_is_taken_off():
    """10 % of 90.00."""
    more = extra(priced_session(discount_percent=10))

    assert (more.discount, more.net) == (Decimal("9.00"), Decimal("81.00"))


def test_lockout_costs_another_day_only_once_it_begins():
    session = priced_session(lockout=True)
    type(session).objects.filter(pk=session.pk).update(
        ends_at=session.starts_at + timedelta(days=1)
    )
    RateFactory(
        card=session.rate_card,
        room=session.reservations.get().room,
        basis=Basis.LOCKOUT,
        amount=Decimal("500.00"),
    )

    assert extra(loaded(session), hours=1).net == Decimal("500.00")


def test_no_card_has_no_price():
    session = ReservationFactory(session=RecordingSessionFactory()).session

    assert extra(loaded(session)) is None


def test_what_has_no_rate_is_named():
    session = priced_session()
    person = ReservationFactory(session=session, room=None, person=PersonFactory()).person

    assert extra(session).unpriced == (str(person),)


def test_agreed_time_is_what_is_booked_and_what_was_approved_after_it():
    session = priced_session()
    end = session.ends_at
    first = OvertimeFactory(session=session, starts_at=end, ends_at=end + HOUR)
    second = OvertimeFactory(session=session, starts_at=end + HOUR, ends_at=end + 3 * HOUR)

    assert agreed_until(session, []) == end
    assert agreed_until(session, [second, first]) == end + 3 * HOUR
    assert agreed_until(session, [second]) == end  # it follows on nothing


def test_void_overtime_is_not_agreed_although_it_lengthened_the_booking():
    session = priced_session()
    end = session.ends_at
    void = OvertimeFactory(session=session, starts_at=end, ends_at=end + HOUR, is_voided=True)
    session.ends_at = end + HOUR

    assert agreed_until(session, [void]) == end


def test_session_that_was_moved_has_no_overtime_of_its_old_day():
    session = priced_session()
    old = OvertimeFactory(
        session=session, starts_at=session.ends_at, ends_at=session.ends_at + HOUR
    )
    for days in (-1, 1):
        session.starts_at += timedelta(days=days)
        session.ends_at += timedelta(days=days)
        assert agreed_until(session, [old]) == session.ends_at
        session.starts_at -= timedelta(days=days)
        session.ends_at -= timedelta(days=days)


def test_hours_worked_after_the_agreed_time_are_told():
    session = priced_session(status=Status.WRAPPED)
    worked(session, hours=7)
    assert worked_without_approval(SessionCosts(loaded(session))) == 3 * HOUR

    OvertimeFactory(session=session)

    assert worked_without_approval(SessionCosts(loaded(session))) == 2 * HOUR
