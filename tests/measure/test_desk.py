"""The measuring of the desk; never how long anything took."""

import pytest

from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession, Reservation
from sessions.clients.models import Person
from tests.factories import PersonFactory, RoomFactory, UnitFactory, WeeklyHoursFactory
from tests.measure.desk import Asked, grow


@pytest.mark.django_db
def test_house_grows_into_the_past(manager):
    for _ in range(2):
        WeeklyHoursFactory(room=RoomFactory()), PersonFactory(bookable=True)
    UnitFactory()

    grow(sessions=20, units=8, people=6)

    assert (Unit.objects.count(), Person.objects.bookable().count()) == (8, 6)
    assert RecordingSession.objects.count() == 20
    assert Reservation.objects.filter(rank=1).count() > 100


def test_more_queries_do_not_hold():
    assert Asked("booking form", 20, 20).holds
    assert not Asked("booking form", 20, 21).holds
