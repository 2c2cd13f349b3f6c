"""The price of what is not booked yet is the price that it has once it is booked."""

from datetime import timedelta
from decimal import Decimal

import pytest

from sessions.bookings.actions import book_session
from sessions.bookings.models import Status
from sessions.bookings.padding import Padding
from sessions.money.session_costs import SessionCosts
from sessions.money.wanted import price_of_wanted
from sessions.terms.models import Basis
from tests.factories import (
    TEN_O_CLOCK,
    AgreementFactory,
    PersonFactory,
    ProjectFactory,
    RateCardFactory,
    RateFactory,
    RoomFactory,
    UnitFactory,
)
from tests.sessions.money.priced import loaded

pytestmark = pytest.mark.django_db
FOUR_HOURS = {"starts_at": TEN_O_CLOCK, "ends_at": TEN_O_CLOCK + timedelta(hours=4)}


@pytest.fixture
def wanted():
    """A room at 45.00, a person at 30.00 an hour, a unit at 12.00 a session; an hour around."""
    card = AgreementFactory(rate_card=RateCardFactory(set_up_percent=50)).rate_card
    room, person, unit = RoomFactory(), PersonFactory(bookable=True), UnitFactory()
    RateFactory(card=card, room=room)
    RateFactory(card=card, room=None, person=person, amount=30)
    RateFactory(
        card=card, room=None, gear_model=unit.model, basis=Basis.SESSION, amount=12, tax_percent=5
    )
    padding = {room: Padding(30, 30)}
    return {"rooms": [room], "people": [person], "units": [unit], "padding": padding} | FOUR_HOURS


@pytest.mark.parametrize("lockout", [False, True])
def test_price_is_that_of_the_session_once_it_is_booked(wanted, manager, lockout):
    project = ProjectFactory()

    price = price_of_wanted(project, **wanted, lockout=lockout, discount_percent=Decimal(10))

    session = book_session(
        project,
        title="Overdubs",
        status=Status.HELD,
        lockout=lockout,
        discount_percent=Decimal(10),
        all_the_same=True,
        by=manager,
        **wanted,
    )
    assert price == SessionCosts(loaded(session)).planned_price
    assert len(price.lines) == (3 if lockout else 4)


def test_price_in_figures(wanted):
    """By hand: 4 × 45.00, an hour of load-in and teardown at half, 4 × 30.00, 12.00; VAT 20 % of
    322.50 and 5 % of 12.00."""
    price = price_of_wanted(ProjectFactory(), **wanted)

    amounts = [Decimal(amount) for amount in ("180.00", "22.50", "120.00", "12.00")]
    assert [line.amount for line in price.lines] == amounts
    assert (price.tax, price.total) == (Decimal("65.10"), Decimal("399.60"))


def test_other_card_may_be_asked_for_and_without_any_there_is_no_price(wanted):
    room = wanted["rooms"][0]
    other = RateFactory(room=room, amount=10).card

    only_room = {"rooms": [room]} | FOUR_HOURS
    assert price_of_wanted(None, **only_room, rate_card=other).gross == Decimal("40.00")
    assert price_of_wanted(None, **only_room).gross == Decimal("180.00")
    other.agreements.all().delete()
    type(other).objects.exclude(pk=other.pk).get().agreements.all().delete()
    assert price_of_wanted(ProjectFactory(), **only_room) is None


@pytest.mark.parametrize("count", [1, 3])
def test_queries_are_two_however_much_is_wanted(wanted, django_assert_num_queries, count):
    project = ProjectFactory()
    units = [UnitFactory() for _ in range(count)]

    with django_assert_num_queries(2):
        price_of_wanted(project, **wanted | {"units": units})
