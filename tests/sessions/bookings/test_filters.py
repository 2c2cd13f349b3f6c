import pytest
from django.urls import reverse

from tests.factories import BlockFactory, ReservationFactory, RoomFactory

pytestmark = pytest.mark.django_db


def test_rooms_that_sessions_took_are_offered_and_none_that_a_block_took(client_of, engineer):
    booked = ReservationFactory(room=RoomFactory(name="Bread Room"))
    tuned = BlockFactory()
    ReservationFactory(
        room=RoomFactory(name="Rope Floor"),
        session=None,
        block=tuned,
        starts_at=tuned.starts_at,
        ends_at=tuned.ends_at,
    )

    page = client_of(engineer).get(reverse("bookings:list"))

    assert list(page.context["filter"].form.fields["room"].queryset) == [booked.room]
